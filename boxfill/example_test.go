package boxfill_test

import (
	"fmt"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
)

// The slip door of the boat shed: one switch, three cables, a box of 18 in3.
func slipDoor() boxfill.Contents {
	return boxfill.Contents{
		Box:        boxfill.MarkedBox(18 * quantity.CubicInch),
		Conductors: []boxfill.Conductors{{Size: conductor.AWG(14), Count: 7, Role: boxfill.Spliced}},
		Grounds:    []boxfill.Grounds{{Size: conductor.AWG(14), Count: 3, Kind: boxfill.BareGround}},
		Devices:    []boxfill.Device{{Name: "aisle", Largest: conductor.AWG(14)}},
	}
}

func ExampleFill() {
	region, err := rules.Load("us-2023")
	if err != nil {
		fmt.Println(err)
		return
	}
	result, err := boxfill.Fill(&region.Box, slipDoor())
	fmt.Print(result.Explain(), err)
	// Output:
	// Box fill in us-2023, by the inch column:
	//   7 spliced conductors, 14 AWG    7 x 2 in3 = 14 in3  NEC 314.16(B)(1) (2023); volume NEC T314.16(B)(1) (2023)
	//   3 grounding conductors, 14 AWG  2 in3               NEC 314.16(B)(5) (2023); volume NEC T314.16(B)(1) (2023)
	//   1 device (aisle), 14 AWG        2 x 2 in3 = 4 in3   NEC 314.16(B)(4) (2023); volume NEC T314.16(B)(1) (2023)
	//   required                        20 in3
	//   box, as marked                  18 in3              NEC 314.16(A) (2023)
	//   available                       18 in3
	// It does not fit: 20 in3 needed, 18 in3 there, 2 in3 too little.
	// <nil>
}

// A table filled by hand needs only what the question needs.
func ExampleFill_ownTable() {
	house := conductor.Source{Section: "house rule 1", Confidence: conductor.HighConfidence}
	table := &boxfill.Table{
		Region: "training yard",
		Column: boxfill.MetricColumn,
		Allowances: []boxfill.Allowance{{Size: conductor.AWG(14),
			Volume: boxfill.Figure{Metric: 30 * quantity.Milliliter, MetricSource: house}}},
		Conductors: boxfill.ConductorRules{
			Spliced: boxfill.Rule{Weight: boxfill.One, Per: boxfill.Each, Of: boxfill.OwnSize, Source: house}},
		Marked: boxfill.MarkedRule{Source: house},
	}
	result, err := boxfill.Fill(table, boxfill.Contents{
		Box:        boxfill.MarkedBox(120 * quantity.Milliliter),
		Conductors: []boxfill.Conductors{{Size: conductor.AWG(14), Count: 4, Role: boxfill.Spliced}},
	})
	fmt.Println(result.Verdict(), err)
	// Output: It fits and is exactly full: 120 mL needed and there. <nil>
}

func ExamplePick() {
	region, err := rules.Load("us-2023")
	if err != nil {
		fmt.Println(err)
		return
	}
	choices, err := boxfill.Pick(&region.Box, region.Box.Stock(1), slipDoor())
	for _, c := range choices {
		fmt.Println(c.Box.Name, c.Result.Spare)
	}
	fmt.Println(err)
	// Output:
	// square 4 x 1-1/2 1 in3
	// masonry 3-3/4 x 2 x 3-1/2 1 in3
	// octagon 4 x 2-1/8 1.5 in3
	// FD 2-3/8, multi cover 4 in3
	// square 4-11/16 x 1-1/4 5.5 in3
	// square 4-11/16 x 1-1/2 9.5 in3
	// square 4 x 2-1/8 10.3 in3
	// square 4-11/16 x 2-1/8 22 in3
	// <nil>
}

func ExampleRemedies() {
	region, err := rules.Load("us-2023")
	if err != nil {
		fmt.Println(err)
		return
	}
	remedies, err := boxfill.Remedies(&region.Box, slipDoor(), boxfill.RemedyOptions{
		Additions: []boxfill.StockAddition{{Name: "5/8 in deep, marked 3.5 in3",
			Addition: boxfill.Addition{Kind: boxfill.PlasterRing, Marked: quantity.CubicInch * 7 / 2}}},
		Cables: []boxfill.Cable{{Name: "the cable to the floodlight",
			Conductors: []boxfill.Conductors{{Size: conductor.AWG(14), Count: 2, Role: boxfill.Spliced}},
			Grounds:    []boxfill.Grounds{{Size: conductor.AWG(14), Count: 1, Kind: boxfill.BareGround}}}},
	})
	for _, r := range remedies {
		fmt.Println(r.Steps[0].Text+":", "frees", r.Frees, r.Result.Status)
	}
	fmt.Println(err)
	// Output:
	// fit a plaster ring (5/8 in deep, marked 3.5 in3): frees 3.5 in3 fits
	// route the cable to the floodlight to another box: frees 4 in3 fits
	// <nil>
}
