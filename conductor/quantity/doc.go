// Package quantity holds the physical quantities of house wiring as exact
// whole numbers, in the manner of time.Duration: each kind of quantity is a
// type of its own, counted in one small base unit chosen so that the customary
// and the metric unit are both whole. 20.3 in3 and 344 mL, 34 ft and 10.4 m,
// 86 F and 30 C are all held without rounding.
//
//	length := 34 * quantity.Foot                     // a constant
//	volume, err := quantity.ParseVolume("20.3 in3")  // text with a unit
//	fmt.Println(length.In(quantity.Meter), volume)   // 10.3632 m 20.3 in3
//
// A number without a unit is refused, and so is one finer than the base unit
// or larger than the type holds; nothing is rounded on the way in. On the way
// out, In prints exactly where the decimal ends and otherwise rounds half to
// even to three places, Format rounds half to even to the places asked for,
// and String prints the shortest everyday text that reads back to the same
// value, so MarshalText and UnmarshalText lose nothing.
//
// Ordinary Go arithmetic applies (a + b, 2 * a, a < b). As with time.Duration
// it wraps on overflow and division truncates; Scale multiplies by a Ratio and
// reports both. The few methods that return a float64 name their unit and are
// meant for numeric solvers; FromFloat is the way back.
//
// The package does not convert between kinds (a power and a voltage to a
// current): that is where rounding rules live, and they belong to the caller.
package quantity
