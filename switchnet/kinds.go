package switchnet

import "fmt"

// The built-in kinds. Each function returns a fresh value that the caller may
// change and rename. Terminal names are the functions of the screws, since the
// places of the screws differ from maker to maker: they are found with a meter on
// the device in hand.

// SinglePole returns the plain on-off switch: "line" and "load".
func SinglePole() Kind {
	return Kind{Name: "single-pole", Terminals: []string{"line", "load"},
		Positions: []Position{{Name: "off"}, {Name: "on", Joins: [][]string{{"line", "load"}}}}}
}

// DoublePole returns the switch that opens two conductors at once.
func DoublePole() Kind {
	return Kind{Name: "double-pole", Terminals: []string{"line 1", "load 1", "line 2", "load 2"},
		Positions: []Position{{Name: "off"}, {Name: "on", Joins: [][]string{{"line 1", "load 1"}, {"line 2", "load 2"}}}}}
}

// ThreeWay returns the switch with a "common" and two traveler terminals (called
// two-way where the metric codes hold).
func ThreeWay() Kind {
	return Kind{Name: "three-way", Terminals: []string{"common", "traveler 1", "traveler 2"},
		Positions: []Position{
			{Name: "up", Joins: [][]string{{"common", "traveler 1"}}},
			{Name: "down", Joins: [][]string{{"common", "traveler 2"}}}}}
}

// ThreeWayDimmer returns the three-way whose contact is electronic and dims.
func ThreeWayDimmer() Kind {
	k := ThreeWay()
	k.Name, k.Electronic, k.Dimmer = "three-way dimmer", true, true
	return k
}

// FourWay returns the reversing switch (called intermediate where the metric
// codes hold). "pair 1" and "pair 2" are its two sides: up joins first to first
// and second to second, down joins them crossed.
func FourWay() Kind {
	return Kind{Name: "four-way", Terminals: []string{"pair 1 first", "pair 1 second", "pair 2 first", "pair 2 second"},
		Positions: []Position{
			{Name: "up", Joins: [][]string{{"pair 1 first", "pair 2 first"}, {"pair 1 second", "pair 2 second"}}},
			{Name: "down", Joins: [][]string{{"pair 1 first", "pair 2 second"}, {"pair 1 second", "pair 2 first"}}}}}
}

// Breaker returns a circuit breaker of 1, 2 or 3 poles with a common trip; any
// other number gives a kind that fails Validate. Its terminals are "line" and
// "load", numbered where there are several. At rest it is on.
func Breaker(poles int) Kind {
	k := Kind{Name: "breaker", Breaker: true}
	if poles > 1 {
		k.Name = fmt.Sprintf("%d-pole breaker", poles)
	}
	var joins [][]string
	if poles < 1 || poles > 3 {
		k.Name = fmt.Sprintf("breaker with %d poles", poles)
		return k
	}
	for i := range poles {
		line, load := "line", "load"
		if poles > 1 {
			line, load = fmt.Sprintf("line %d", i+1), fmt.Sprintf("load %d", i+1)
		}
		k.Terminals = append(k.Terminals, line, load)
		joins = append(joins, []string{line, load})
	}
	k.Positions = []Position{{Name: "on", Joins: joins}, {Name: "off"}}
	return k
}

// PilotSinglePole returns the single-pole with a pilot lamp that burns while the
// load is on; the lamp needs the neutral.
func PilotSinglePole() Kind {
	k := SinglePole()
	k.Name = "pilot-lit single-pole"
	k.Terminals = append(k.Terminals, "neutral")
	k.Internal = []InternalLoad{{Name: "pilot", From: "load", To: "neutral"}}
	return k
}

// LocatorSinglePole returns the single-pole whose handle glows while it is off:
// its lamp sits across the open contact, in series with the load.
func LocatorSinglePole() Kind {
	k := SinglePole()
	k.Name = "locator-lit single-pole"
	k.Internal = []InternalLoad{{Name: "locator", From: "line", To: "load"}}
	return k
}

// TwoSwitches returns two single-pole switches on one yoke with separate line
// terminals, as one device with four positions in an order in which one handle
// moves at a time. Where each handle is to be judged on its own, declare two
// single-poles instead.
func TwoSwitches() Kind {
	return Kind{Name: "two switches on one yoke", Terminals: []string{"line 1", "load 1", "line 2", "load 2"},
		Positions: []Position{
			{Name: "both off"},
			{Name: "1 on", Joins: [][]string{{"line 1", "load 1"}}},
			{Name: "both on", Joins: [][]string{{"line 1", "load 1"}, {"line 2", "load 2"}}},
			{Name: "2 on", Joins: [][]string{{"line 2", "load 2"}}}}}
}

// Receptacle returns the duplex receptacle with both tabs in.
func Receptacle() Kind {
	return Kind{Name: "receptacle", Terminals: []string{"hot 1", "hot 2", "neutral 1", "neutral 2"},
		Positions: []Position{{Name: "fixed", Joins: [][]string{{"hot 1", "hot 2"}, {"neutral 1", "neutral 2"}}}}}
}

// SplitReceptacle returns the duplex receptacle with the tab on the hot side
// broken out, so that its halves are fed apart.
func SplitReceptacle() Kind {
	return Kind{Name: "split receptacle", Terminals: []string{"hot 1", "hot 2", "neutral 1", "neutral 2"},
		Positions: []Position{{Name: "fixed", Joins: [][]string{{"neutral 1", "neutral 2"}}}}}
}

// ElectronicSwitch returns a sensor, timer or smart switch: a contact from
// "line" to "load" and electronics that run between "line" and "neutral".
func ElectronicSwitch() Kind {
	return Kind{Name: "electronic switch", Terminals: []string{"line", "load", "neutral"},
		Positions:  []Position{{Name: "off"}, {Name: "on", Joins: [][]string{{"line", "load"}}}},
		Internal:   []InternalLoad{{Name: "electronics", From: "line", To: "neutral"}},
		Electronic: true}
}

// ElectronicThreeWay returns a three-way whose electronics run between "common"
// and "neutral".
func ElectronicThreeWay() Kind {
	k := ThreeWay()
	k.Name, k.Electronic = "electronic three-way", true
	k.Terminals = append(k.Terminals, "neutral")
	k.Internal = []InternalLoad{{Name: "electronics", From: "common", To: "neutral"}}
	return k
}

// Kinds returns all built-in kinds in name order.
func Kinds() []Kind {
	return []Kind{
		Breaker(2), Breaker(3), Breaker(1), DoublePole(), ElectronicSwitch(), ElectronicThreeWay(),
		FourWay(), LocatorSinglePole(), PilotSinglePole(), Receptacle(), SinglePole(), SplitReceptacle(),
		ThreeWay(), ThreeWayDimmer(), TwoSwitches(),
	}
}
