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
// empty To.
//
// # What it does not do
//
// It judges nothing. A wiring may be wrong in every way a real one can; what is
// refused is only what contradicts itself, such as one conductor end in two places.
package wiring
