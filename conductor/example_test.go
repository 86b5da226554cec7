package conductor_test

import (
	"fmt"
	"time"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
)

// shed is a table filled by hand with what one small circuit needs. A rule file
// of a whole region fills the same fields.
func shed() conductor.Table {
	from := func(section string) conductor.Source {
		return conductor.Source{Section: section, Edition: "2023", Confidence: conductor.HighConfidence}
	}
	table := conductor.Table{
		Region:       "us-2023, small",
		Continuous:   conductor.ContinuousRule{Conductor: 125 * quantity.Percent, Overcurrent: 125 * quantity.Percent, MinDuration: 3 * time.Hour, Source: from("210.19(A)(1)"), OvercurrentSource: from("210.20(A)")},
		Nonmetallic:  conductor.NonmetallicRule{Limit: 60 * quantity.Celsius, Start: 90 * quantity.Celsius, TogetherAbove: 2, MinCarrying: 2, Source: from("334.80")},
		Terminations: conductor.TerminationRule{Default: 60 * quantity.Celsius, Above: 75 * quantity.Celsius, ThresholdRating: 100 * quantity.Ampere, ThresholdSize: conductor.AWG(1), Source: from("110.14(C)(1)")},
		AtAmpacity:   from("240.4"),
		DropMethod:   conductor.ByResistance,
		DropUse:      "branch circuit",
		DropLimits:   []conductor.DropLimit{{Use: "branch circuit", Limit: 3 * quantity.Percent, Force: conductor.Advice, Source: from("210.19(A) note")}},
	}
	for _, rating := range []quantity.Current{15, 20, 25, 30} {
		table.Overcurrent = append(table.Overcurrent, conductor.OvercurrentSize{Rating: rating * quantity.Ampere, Kind: conductor.BreakerOrFuse, Source: from("T240.6(A)")})
	}
	for _, row := range []struct {
		gauge     int
		mils      quantity.CircularMils
		at60      quantity.Current
		at90, cap quantity.Current
		ohms      quantity.ResistancePerLength // hundredths per thousand feet
	}{
		{14, 4110, 15, 25, 15, 314}, {12, 6530, 20, 30, 20, 198}, {10, 10380, 30, 40, 30, 124},
	} {
		size := conductor.AWG(row.gauge)
		table.Sizes = append(table.Sizes, conductor.SizeRow{Size: size, Area: row.mils, Source: from("Ch 9 T8")})
		for rating, current := range map[quantity.Temperature]quantity.Current{60: row.at60, 90: row.at90} {
			table.Ampacities = append(table.Ampacities, conductor.Ampacity{Material: conductor.Copper, Size: size,
				Rating: rating * quantity.Celsius, Current: current * quantity.Ampere, Source: from("T310.16")})
		}
		table.SmallConductors = append(table.SmallConductors, conductor.SmallConductor{Material: conductor.Copper, Size: size, MaxRating: row.cap * quantity.Ampere, Source: from("240.4(D)")})
		table.Resistances = append(table.Resistances, conductor.Resistance{Material: conductor.Copper, Size: size, Stranding: conductor.Stranded,
			Resistance: row.ohms * quantity.OhmPerThousandFeet / 100, At: 75 * quantity.Celsius, Source: from("Ch 9 T8")})
		table.Grounding = append(table.Grounding, conductor.GroundingRow{UpTo: row.cap * quantity.Ampere, Material: conductor.Copper, Size: size, Source: from("T250.122")})
	}
	return table
}

func Example() {
	sizer, err := conductor.NewSizer(shed())
	if err != nil {
		fmt.Println(err)
		return
	}
	cable, _ := conductor.ParseCableType("14/2")
	answer, err := sizer.Size(conductor.Circuit{Load: conductor.Load{Continuous: 9 * quantity.Ampere}, Volts: 120 * quantity.Volt, Run: 80 * quantity.Foot}.OfCable(cable))
	fmt.Println(answer.Status, answer.Size, answer.Breaker, answer.Binding, err)
	for _, step := range answer.Steps {
		fmt.Printf("%s: %s\n", step.Source.Section, step)
	}
	// Output:
	// fits 12 AWG 15 A [voltage drop] <nil>
	// 210.19(A)(1): load: 9 A continuous × 1.25 + 0 A other = 11.25 A to provide for
	// T240.6(A): overcurrent device: 15 A, the smallest standard rating for 11.25 A
	// 110.14(C)(1): ampacity column the terminations allow: 60 C
	// Ch 9 T8: 14 AWG copper: 9 A over 80 ft one way at 3.14 ohm/kft, by resistance: drops 4.52 V, 3.77 %; limit 3 % (advice, 210.19(A) note (2023)): not enough
	// T310.16: 12 AWG copper: 20 A in the 60 C column, 11.25 A needed before correction: enough
	// T310.16: 12 AWG copper: 30 A in the 90 C column × 1 × 1 = 30 A, load 9 A: enough
	// 334.80: 12 AWG copper: the cable is held to the 60 C column, 20 A, load 9 A: enough
	// 240.4: 12 AWG copper: ampacity 20 A allows a device of 20 A (the largest standard rating not above it), 15 A wanted: enough
	// 240.4(D): 12 AWG copper: behind at most 20 A, 15 A wanted: enough
	// Ch 9 T8: 12 AWG copper: 9 A over 80 ft one way at 1.98 ohm/kft, by resistance: drops 2.85 V, 2.38 %; limit 3 % (advice, 210.19(A) note (2023)): enough
	// T250.122: grounding conductor: 14 AWG copper behind 15 A
}

func ExampleSizer_Judge() {
	sizer, _ := conductor.NewSizer(shed())
	cable, _ := conductor.ParseCableType("14/2")
	found := conductor.Circuit{Load: conductor.Load{Other: 8 * quantity.Ampere}, Volts: 120 * quantity.Volt, Breaker: 20 * quantity.Ampere}.OfCable(cable)
	verdict, err := sizer.Judge(found, conductor.AWG(14))
	fmt.Println(verdict.Status, verdict.Faults, "up to", verdict.MaxBreaker, err)
	// Output: unlawful [protection at ampacity small conductor limit] up to 15 A <nil>
}

func ExampleSizer_LongestRun() {
	sizer, _ := conductor.NewSizer(shed())
	cable, _ := conductor.ParseCableType("12/2")
	reach, err := sizer.LongestRun(conductor.Circuit{Load: conductor.Load{Other: 10 * quantity.Ampere}, Volts: 120 * quantity.Volt}.OfCable(cable), conductor.AWG(12))
	fmt.Println(reach.Run.Format(quantity.Foot, 1), "at", reach.Limit, err)
	// Output: 90.9 ft at 3 % <nil>
}

func ExampleParseCableType() {
	cable, err := conductor.ParseCableType("14/2/2")
	for _, core := range cable.Cores {
		fmt.Print(core.Colour, " ")
	}
	fmt.Println(err)
	_, err = conductor.ParseCableType("14/5")
	fmt.Println(err)
	// Output:
	// black white red white/red bare <nil>
	// cable type "14/5": "14/5" is no cable: a gauge (14, 12, 10, 8, 6, 4 or 2) and 2, 3, 4 or 2/2 conductors; write for example 14/3, 12/2 metal-clad, 14/2 without ground, 1.5 mm2 twin and earth, or loose 14 AWG 90 C black white green
}
