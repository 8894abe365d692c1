// What the server offers by name. Each takes the URI of an open file.

/** Which configuration, device and top a file is judged by. */
export const CONFIGURATION = "memlint.whichConfiguration";

export interface Judged {
  configuration: string | null;
  device: string | null;
  top: string | null;
  message: string;
}

/** Writes the overview page of the file's project. */
export const OVERVIEW = "memlint.overview";

export interface Page {
  uri: string;
}
