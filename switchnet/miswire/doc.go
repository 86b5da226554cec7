// Package miswire has the one list of single faults that a person or a worn part can
// put into a wiring, each as edits of package wiring.
//
// # Use
//
//	for _, f := range miswire.List(w) { ... }          // every single fault of the wiring
//	wrong, err := f.Apply(w)                           // the wiring with it
//	classes, err := miswire.Classes(ctx, w, list, nil) // which of them no lamp can tell apart
//
// # What is in it
//
// Two terminals exchanged, pairs crossed at a four-way, a light or receptacle the wrong
// way round, two wires exchanged of which one is spliced, a wire or pigtail on a wrong
// terminal, a splice opened, a joint in a wrong splice, a neutral of another circuit, a
// conductor cut, a grounding conductor opened or used, any two conductors of a box
// touching, a contact dead or welded, a device stuck, a device of the wrong kind, and
// the tab of a receptacle left in or broken out.
//
// Two faults of the list may come to the same wiring, and many behave alike: that is
// what Classes is for. A fault may be no fault at all (two travelers exchanged): then
// its class says so.
//
// # Order
//
// The list is in the order of the kinds of fault; within a kind by box, or by cable for
// what happens along its run, in name order; and then by what is exchanged, moved or
// joined: wires by cable name and in the order of the cable, terminals by the name of
// what they are on and in the order of its kind. No order in which the job was
// written down matters.
//
// # What it does not do
//
// It makes no two faults at once, and it judges nothing: package check does.
package miswire
