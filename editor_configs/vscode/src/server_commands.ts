// What the server offers by name. Each takes the URI of an open file.

/** Which configuration, device and top a file is judged by. */
export const CONFIGURATION = "memlint.whichConfiguration";

/** What a root of the design takes of a tier, and how many blocks the device has. */
export interface Taken {
  root: string;
  tier: string;
  blocks: number;
  of: number;
}

export interface Judged {
  configuration: string | null;
  device: string | null;
  top: string | null;
  fill: Taken[];
  message: string;
}

/** Writes the overview page of the file's project. */
export const OVERVIEW = "memlint.overview";

export interface Page {
  uri: string;
}
