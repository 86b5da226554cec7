// Package packet makes the documents of a job: the cable schedule, a sheet for
// every box, box fill, the take-off of material, sizing, what each control does, and
// the cautions.
//
// # Use
//
//	doc, err := packet.Build(ctx, packet.Input{Title: file.Title, Intent: file.Intent, Wiring: w, Region: region})
//	err = packet.WriteText(os.Stdout, doc)
//	err = packet.WriteJSON(os.Stdout, doc)
//	err = packet.WriteTakeOffCSV(os.Stdout, doc)
//	files, err := packet.Files(doc) // one text per box, the whole as text and as JSON, tables
//	changed := packet.Compare(earlier, doc) // the boxes whose sheets are void
//	page, err := packet.NewPage(ctx, doc, input, nil) // all of it with pictures, to print
//	_, err = page.WriteTo(file)
//
// [NewTakeOff] counts the material alone, without sheets and proofs, for whoever adds
// up many jobs.
//
// # Order
//
// A document keeps the order of the job file: cables, boxes, devices, splices and
// controls as they were written down, conductors as the cable is made up. The sheets
// of the boxes, which go to the boxes, come before take-off, proofs and sizes, which
// stay in the van. Items of a take-off are in the order of their kinds and names.
//
// # Take-off
//
// A [TakeOff] counts what the job says: boxes, what is mounted in them and the plates
// over it, lights, breakers, tags and markings as they are written down; a wire
// connector for every splice and cap, by the sizes that it joins; a pigtail for every
// terminal in a splice, for a light brings leads of its own; cable by the lengths of
// the runs, with the free conductor and the sheath that the region's rules want at
// each end, and a factor for waste, loose sets by the colour of the wire too; supports by the region's distances, and nail
// plates by its distance from a bored hole to an edge. Where a region has no such rule
// or no sure figure nothing is counted, and the take-off says so. It counts no panel,
// no supports of boxes, no raceway and its fittings, and no bonding screws: the job
// does not say them. A length in a job is taken as the way of the cable from box to
// box. Every line carries the rule of its count. Prices and labor are those of the region's stock, in the unit of whoever
// wrote it; what has none is not guessed.
//
// # Page
//
// A [Page] is the packet as one file of HTML: cautions first, pictures of package draw
// with their text alternatives, box sheets that each start on a new page of A4 or
// Letter and bear the name of the box, what to lock out and the cautions at the head of
// every page, the pictures of boxes there as large as the page has room for, their smallest
// text 7 points or more, and in parts where a page would not hold them, tags to cut out,
// what package check finds, and a checklist for energizing
// whose expected values are worked out from the wiring: which metal is joined for good,
// and which the contacts join in some position, lamps and electronics out. Those of a
// control with electronics in it are left to the live tests. Names are escaped by
// package html/template. A page of a revision names the sheets that are void.
//
// # CSV
//
// [WriteTakeOffCSV] and [WriteCablesCSV] write tables as RFC 4180 has them, lines
// ended by CR LF, in UTF-8 with a byte-order mark, by which spreadsheets know it. A
// text that a spreadsheet would take for a formula (it begins with =, +, -, @ or
// their full-width forms, or has one of these after a semicolon) or for a number, day
// or time that it is not ("12/2", "007") gets an apostrophe in front; control
// characters, tabs and line breaks among them, become blanks; a text of more than
// 32,767 UTF-16 units is cut and ends in three dots. The apostrophe stays visible in
// some spreadsheets: programs will rather read the JSON.
//
// # JSON
//
// [WriteJSON] writes a [Document]; the fields of its types, with their json names,
// are the format. Quantities are text with their unit, enums are words. The format
// is experimental until a release freezes it, and says so in its "format" field.
//
// # Cost
//
// Sheets take time linear in the job. For each light of a control its net is analyzed
// once, and the way to every light is followed: with many lights that is the greater
// part. The boat shed takes a few milliseconds; a control with 6,000 places takes
// under half a second of one processor, 2,000 lights with a switch each about one.
//
// Proving ([Input].Proving) has a budget. The walk and the readings of the whole job are
// worked out where that takes no more than about two seconds of one processor, the
// ring-out list for up to 40 cables; otherwise a walk is worked out for each control of
// up to 6 places by itself, those that are wired alike once, as long as as much again
// lasts, and there are no readings. What is left out is said in its place.
//
// # What it does not do
//
// A document judges nothing beyond box fill and the size of a circuit, which are sums;
// what is wrong with a wiring is for package check, which a page asks. The text of documents is for
// people and not stable.
package packet
