package rules

import (
	"cmp"
	"slices"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
)

// Info says which region and edition a rule file is for.
type Info struct {
	ID       string   // "us-2023", as a job file names it
	Title    string   // in words
	Code     string   // the code's usual name: "NEC"
	Edition  string   // "2023"
	Source   string   // where the figures come from and how they were checked
	Cautions []string // what a user of the figures must know, in file order
}

// A Region is what one rule file says, overlays applied. It belongs to its
// caller; nothing in it is shared with another Region.
type Region struct {
	Info
	Amendments []string // names of the overlays applied, in order

	Conductor conductor.Table
	Box       boxfill.Table
	Wiring    Wiring
	Stock     Stock

	// Refused is what the region has a wiring rule for but no figure sure
	// enough, by name. The tables refuse by themselves.
	Refused []Refused
}

// Refused names a rule whose figures are not sure enough to be given.
type Refused struct {
	Name string
	Why  string
}

// Wiring is what a region says about how lights are switched.
type Wiring struct {
	Terms     Terms
	Systems   []System       // systems of supply, the usual one first
	Schemes   []ColourScheme // colours of insulation, the one in force first
	NeverLine Palette        // colours that a line conductor may not have or be re-marked to
	Neutral   NeutralRule
	Rules     []Rule // by name
}

// Rule returns the rule of a name, and false when the region has none.
func (w *Wiring) Rule(n Name) (Rule, bool) {
	i, ok := slices.BinarySearchFunc(w.Rules, n, func(r Rule, n Name) int { return int(r.Name) - int(n) })
	if !ok {
		return Rule{}, false
	}
	return w.Rules[i], true
}

// Rule is one rule of wiring with what it carries.
type Rule struct {
	Name   Name
	Says   Says
	Count  int             // of what the name says; 0 where it carries none
	Length quantity.Length // 0 where it carries none
	Metric quantity.Length // the metric figure where the code states both; else 0
	Size   conductor.Size  // the zero Size where it carries none
	During Span
	Effect int    // year it takes effect, when later than its edition; else 0
	Note   string // more, in plain words; may be empty
	Source conductor.Source
}

// Terms are the words of the trade in a region.
type Terms struct {
	SinglePole Device // opens one conductor
	ThreeWay   Device // stands at the ends of a chain
	FourWay    Device // stands between the ends of a chain
	Traveler   string // conductor between two switches of a chain
	Common     string // terminal that both positions join to
	SwitchLeg  string // conductor from the switches to the light
	Ground     string // equipment grounding conductor
	Ends       int    // ThreeWay devices in a chain
	Travelers  int    // conductors between two neighbours in a chain, the neutral apart
	Source     conductor.Source
}

// Device is a kind of switch as the region calls it.
type Device struct {
	Word      string
	Terminals int // grounding terminal not counted
}

// System is a system of supply.
type System struct {
	Name    string
	Lines   int              // ungrounded conductors
	Volts   quantity.Voltage // from a line to the neutral
	Between quantity.Voltage // between two lines; 0 with one line
	Hertz   int
	Source  conductor.Source
}

// ColourScheme is a set of colours of insulation, with the days it was lawful
// for new work.
type ColourScheme struct {
	Name     string
	From     Date // zero: since before the data goes
	Until    Date // last day for new work; zero: in force
	Palettes []Palette
}

// Palette returns the colours of a function, and false when the scheme has
// none.
func (s *ColourScheme) Palette(f Function) (Palette, bool) {
	i := slices.IndexFunc(s.Palettes, func(p Palette) bool { return p.Function == f })
	if i < 0 {
		return Palette{}, false
	}
	return s.Palettes[i], true
}

// Palette is the colours a conductor of a function may have, the usual first.
type Palette struct {
	Function Function
	Colours  []conductor.Colour
	Source   conductor.Source
}

// NeutralRule says where a neutral must be at a switch for lighting. A zero
// Rule means the region has no such demand.
type NeutralRule struct {
	Rule       Rule          // Says is Required or NotRequired; its Name is unset
	Places     []Place       // kinds of room it holds for, in file order
	Outside    []string      // kinds of room that are none of them, in file order
	Exemptions []ExemptionBy // by exemption
}

// In reports whether the rule holds for a kind of room in an edition, by its year, and
// whether the region says so: of a kind that no place names, nor is outside all of them,
// only an inspector can tell.
func (n *NeutralRule) In(room string, year int) (holds, known bool) {
	for i := range n.Places {
		p := &n.Places[i]
		named := p.Name == room || slices.Contains(p.Rooms, room)
		if (named || p.Name == Anywhere) && p.During.Holds(year) {
			return true, true
		}
		known = known || named
	}
	return false, known || slices.Contains(n.Outside, room)
}

// Edition returns the year of the edition in which the rule came to be as it was in a
// year, or that year itself if it had not come yet: an edition is in force until the
// next, and what was built two years later was built by it.
func (n *NeutralRule) Edition(year int) int {
	latest := 0
	note := func(s Span) {
		for _, y := range []int{s.Since, s.Until} {
			if y <= year {
				latest = max(latest, y)
			}
		}
	}
	note(n.Rule.During)
	for i := range n.Places {
		note(n.Places[i].During)
	}
	for i := range n.Exemptions {
		note(n.Exemptions[i].During)
	}
	return cmp.Or(latest, year)
}

// Anywhere is the name of a [Place] that stands for every place.
const Anywhere = "anywhere"

// Place is a kind of room.
type Place struct {
	Name   string
	Rooms  []string // other kinds of room that are such, in file order
	During Span
	Source conductor.Source
}

// ExemptionBy is an exemption with its section.
type ExemptionBy struct {
	Exemption Exemption
	During    Span
	Source    conductor.Source
}

// Span is the editions, by their years, that have a rule. Files carry spans
// that are over, because what stands was built by the rules of its day.
type Span struct {
	Since int // first edition; 0 where it goes back further than is known
	Until int // last edition; 0 where it is in force
}

// Holds reports whether the rule was in force in an edition, by its year.
func (s Span) Holds(year int) bool {
	return (s.Since == 0 || year >= s.Since) && (s.Until == 0 || year <= s.Until)
}

// Stock is what can be had, and what it costs where that is known.
type Stock struct {
	Cables    []CableStock    // by name
	Boxes     []BoxStock      // by name
	Additions []AdditionStock // by name
	Supplies  []SupplyStock   // by name
}

// CableStock is a cable that can be had.
type CableStock struct {
	Type  conductor.CableType
	Price Rate // of the cable; zero when not known
	Labor Rate // of pulling it, in the unit of the price
}

// BoxStock is a box that can be had.
type BoxStock struct {
	Box   boxfill.StockBox
	Price Amount // zero when not known
	Labor Amount // of setting it, in the unit of the price
}

// SupplyStock is anything else that is counted by the piece. Its name is the one by
// which whoever counts calls it, such as "device three-way"; see package packet.
type SupplyStock struct {
	Name  string
	Price Amount // zero when not known
	Labor Amount // of installing it, in the unit of the price
}

// AdditionStock is a ring or cover that can be had.
type AdditionStock struct {
	Addition boxfill.StockAddition
	Price    Amount
	Labor    Amount
}
