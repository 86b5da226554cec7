package rules_test

import (
	"fmt"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/rules"
)

func Example() {
	region, err := rules.Load("us-2023")
	if err != nil {
		fmt.Println(err)
		return
	}
	result, err := boxfill.Fill(&region.Box, boxfill.Contents{
		Box:        boxfill.BoxOfType("device 3 x 2 x 3-1/2"),
		Conductors: []boxfill.Conductors{{Size: conductor.AWG(14), Count: 5, Role: boxfill.Spliced}},
		Grounds:    []boxfill.Grounds{{Size: conductor.AWG(14), Count: 2, Kind: boxfill.BareGround}},
		Devices:    []boxfill.Device{{Largest: conductor.AWG(14)}},
	})
	fmt.Println(result.Status, result.Required, "of", result.Available, err)
	// Output: fits 16 in3 of 18 in3 <nil>
}

func ExampleLoad_overlay() {
	town := rules.Overlay{Name: "town.yaml", Text: []byte(`
format: 1
name: Harbor Township 2024
conductors:
  least size: {size: 12 AWG}
stock:
  cables:
    12/2: {price: 0.93 per ft}
`)}
	region, err := rules.Load("us-2023", town)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(region.Amendments, region.Conductor.LeastSize.Size, region.Conductor.LeastSize.Source)
	// Output: [Harbor Township 2024] 12 AWG Harbor Township 2024
}

func ExampleWiring_Rule() {
	region, err := rules.Load("us-2020")
	if err != nil {
		fmt.Println(err)
		return
	}
	rule, ok := region.Wiring.Rule(rules.StairSwitchEachLevel)
	fmt.Println(ok, rule.Says, "from", rule.Count, "risers:", rule.Source)
	_, ok = region.Wiring.Rule(rules.StairBatteryFailsOn)
	fmt.Println(ok)
	// Output:
	// true required from 6 risers: NEC 210.70(A)(2)(3) (2020)
	// false
}

func ExampleRegions() {
	for _, info := range rules.Regions() {
		fmt.Println(info.ID+":", info.Title)
	}
	// Output:
	// ca: Canada, 2024 edition
	// uk-2018: United Kingdom, 18th edition (2018), flat twin and earth cable
	// us-2017: United States, 2017 edition
	// us-2020: United States, 2020 edition
	// us-2023: United States, 2023 edition
}

func ExampleParseRate() {
	rate, err := rules.ParseRate("31 per 50 m")
	cost, ok := rate.For(12_500_000_000) // 12.5 m
	fmt.Println(cost, ok, err)
	// Output: 7.75 true <nil>
}
