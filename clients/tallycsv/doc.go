// Package tallycsv reads packs of lumber from CSV, as a spreadsheet saves it, and writes
// packs and their accounts as CSV that a spreadsheet opens. It knows the messages of
// TallyService and nothing else of the service.
//
// A file is UTF-8, its cells separated by commas, semicolons or tabs, with a decimal
// point. Its first row names the columns, in any order; columns that are not needed may
// be left out. Sizes are either all in inches and feet or all in millimetres: a file has
// the columns of one of the two.
// A number may be a decimal (6.25) or a fraction (25/4, 6 1/4, 6-1/4, 8/4); the unit is
// in the column's name only. Spaces around a cell are ignored, and so is a row of empty
// cells.
//
// # Columns that are read
//
// In every row:
//
//	pack_id   the pack that the row belongs to
//	row       what the row is: board (measured, in the order of the tally), count
//	          (a line of the supplier's tally by width and length), surface (a line
//	          of the supplier's tally by surface measure) or total (the supplier's
//	          tally in board feet)
//
// Of the pack; in its first row, and blank or the same in its other rows:
//
//	supplier              who supplied it
//	species               needed; black cherry, white oak, ... or the caller's own
//	grade                 FAS, 1C, ...
//	nominal_thickness_in  needed; 4/4 is 1 in, 5/4 is 1 1/4 in
//	price_per_mbf         money per thousand board feet
//	tally_basis           gross or net
//	measured_basis        gross or net
//	scope                 whole (all boards were measured; also if blank) or
//	                      consumed (only those consumed so far)
//	min_width_mm          narrower boards are listed
//	min_length_mm         shorter boards are listed
//	scant_mm              boards thinner than nominal by more are listed; blank: by
//	                      the rule of the trade
//
// Of the row; blank if the kind of row does not use it:
//
//	width_in, length_ft, thickness_in   board, count (no thickness)
//	width_mm, length_mm, thickness_mm   instead of these, in a metric file
//	pieces                              count, surface; board: blank is 1
//	surface_ft2                         surface: whole square feet of one piece
//	board_feet                          total
//	board_id                            board: its name
//	consumed                            board: yes or no; blank is no
//
// # Columns that are written
//
// WriteAccounts, WriteGroups, WriteSuppliers and WriteFindings each write a separate
// table and document its columns. Board feet end in _bf. A text that a spreadsheet would
// take for a formula is written with an apostrophe before it, which reading removes.
package tallycsv
