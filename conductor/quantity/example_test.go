package quantity_test

import (
	"fmt"

	"example.com/switchleg/conductor/quantity"
)

func Example() {
	run := 34 * quantity.Foot
	box, err := quantity.ParseVolume("20.3 in3")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(run, "is", run.In(quantity.Meter))
	fmt.Println(box, "is", box.In(quantity.Milliliter), "or about", box.Format(quantity.Milliliter, 0))
	_, err = quantity.ParseCurrent("15")
	fmt.Println(err)
	// Output:
	// 34 ft is 10.3632 m
	// 20.3 in3 is 332.6573992 mL or about 333 mL
	// current "15": has no unit; write a number and a unit (A, mA, uA, kA), such as "15 A"
}

func ExampleScale() {
	ampacity, exact := quantity.Scale(30*quantity.Ampere, 76*quantity.Percent)
	fmt.Println(ampacity, exact)
	// Output: 22.8 A true
}
