// Shape of the gain table, for the file beside this folder that includes it.
`ifndef LINE_SHAPE_SVH
`define LINE_SHAPE_SVH
`define GAIN_BITS 14
`define GAIN_COLUMNS (3 * 128)
`endif
