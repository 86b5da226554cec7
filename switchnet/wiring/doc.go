// Package wiring describes the physical job: boxes, the cables between them, the
// devices and lights in them, and where every conductor ends.
//
// # Use
//
// Fill a [Spec], the plain data of a job in the order in which it was written
// down, and call [New] for an immutable [Wiring], or all mistakes at once as
// [Problems] that say which entry of which list they are about:
//
//	w, err := wiring.New(spec)
//	net := w.Net()                       // what switchnet solves
//	contents, err := w.Contents("loft")  // what package boxfill counts
//	circuits := w.Circuits()             // what package conductor sizes
//
// [Wiring.Apply] makes a changed copy from [Edit] values.
//
// # Words
//
// A wire is one conductor of a cable, written "C4.red". In each of the two boxes
// of its cable it has one end, which is landed on a terminal, is in a splice, is
// under a cap, or hangs free. A splice may include terminals too: the pigtail to a
// screw, the lead of a light.
//
// Unknown wiring uses the same types: a cable whose far box is not known has an
// empty To. An end of which nothing is said hangs free.
//
// # Order
//
// Answers are in name order, bytewise, unless their own documentation says
// otherwise. None depends on the order of the lists of a [Spec], nor on which end of
// a cable is its beginning; documents keep that order, and so does
// [Wiring.Functions]. Of two entries that contradict each other the later one is
// called wrong.
//
// # Size
//
// Every question takes time linear in what it is about, but for sorting: [New] and
// [Wiring.Apply] in the job, [Wiring.Contents] in the box, [Wiring.Circuits] in what
// each feed reaches and in the wires of the routes it returns.
//
// # What it does not do
//
// It judges nothing. A wiring may be wrong in every way a real one can; what is
// refused is only what contradicts itself, such as one conductor end in two places.
//
// It is a statement about a drawing. Before anyone touches the wiring it describes:
// de-energize, lock out and tag, and prove the tester before and after; what is
// found in the box has the last word.
package wiring
