// Package packet makes the documents of a job: the cable schedule, a sheet for
// every box, box fill, sizing, what each control does, and the cautions.
//
// # Use
//
//	doc, err := packet.Build(ctx, packet.Input{Title: file.Title, Intent: file.Intent, Wiring: w, Region: region})
//	err = packet.WriteText(os.Stdout, doc)
//	err = packet.WriteJSON(os.Stdout, doc)
//	files, err := packet.Files(doc) // one text per box, the whole as text and as JSON
//
// # Order
//
// A document keeps the order of the job file: cables, boxes, devices, splices and
// controls as they were written down, conductors as the cable is made up. The sheets
// of the boxes, which go to the boxes, come before proofs and sizes, which stay in the
// van.
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
// # What it does not do
//
// It judges nothing beyond box fill and the size of a circuit, which are sums;
// what is wrong with a wiring is for package check. The text of documents is for
// people and not stable.
package packet
