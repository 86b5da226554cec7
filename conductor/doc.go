// Package conductor sizes and protects the conductors of a circuit by a region's
// rules, and judges conductors that are there already.
//
// The rules are a [Table] of plain values, filled by hand or taken from a rule
// file. In order of use:
//
//	sizer, err := conductor.NewSizer(table)      // once per region
//	cable, err := conductor.ParseCableType("14/2")
//	answer, err := sizer.Size(conductor.Circuit{ // per circuit
//		Load:  conductor.Load{Continuous: 12 * quantity.Ampere},
//		Volts: 120 * quantity.Volt,
//		Run:   80 * quantity.Foot,
//	}.OfCable(cable))
//
// The answer names the size, the overcurrent device, the grounding conductor,
// the voltage drop and the rules that bind, and carries every step with the
// section it comes from. [Sizer.Judge] judges a circuit as it is;
// [Sizer.Capability], [Sizer.LargestLoad], [Sizer.LongestRun],
// [Sizer.LeastForDrop] and [Sizer.LeastForLoop] answer the reverse questions;
// [Sizer.Protections] says what a location demands.
//
// An error is a malformed question, or one that needs a rule the region's table
// does not have; what becomes of a sound question is a [Status]. Comparisons are
// exact: nothing is rounded before a limit is compared with. Where a step states
// a rounded figure, loads are rounded up and capacities down to the microampere,
// and voltage drop half to even to the microvolt.
//
// The package also holds the words of the trade that the tables need: sizes,
// materials, colours, the make-up of cables. It knows nothing of boxes, devices
// or how a circuit is wired, nothing of how rule files are written, and it
// proposes no route. Its answers are no substitute for the code in force, its
// local amendments and inspector, or licensed practice.
package conductor
