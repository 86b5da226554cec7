package packet

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/plan"
	"example.com/switchleg/switchnet/wiring"
)

// DefaultWaste is the factor from the length that is cut to the length to buy, where
// none is asked for. It is a habit of estimators, not a rule of any code.
const DefaultWaste = 110 * quantity.Percent

// MaxWaste is the largest factor that is accepted.
const MaxWaste = 1000 * quantity.Percent

// MaxAllowance is the longest allowance at an end of a cable that is accepted.
const MaxAllowance = 10 * quantity.Meter

// ParseAllowance returns the length of an allowance at an end of a cable, such as
// "10 in".
func ParseAllowance(text string) (quantity.Length, error) {
	l, err := quantity.ParseLength(text)
	if err == nil {
		err = checkAllowance(l)
	}
	return l, err
}

func checkAllowance(l quantity.Length) error {
	if l <= 0 || l > MaxAllowance {
		return fmt.Errorf("an allowance of %s at the end of a cable: give one above zero, at most %s", l, MaxAllowance)
	}
	return nil
}

// ParseWaste returns a factor for waste written as a bare number, such as "1.1".
func ParseWaste(text string) (quantity.Ratio, error) {
	r, err := quantity.ParseFactor(text)
	if err == nil {
		err = checkWaste(r)
	}
	return r, err
}

func checkWaste(r quantity.Ratio) error {
	if r < quantity.Whole || r > MaxWaste {
		return fmt.Errorf("a factor for waste of %s: give one from 1, for none, to %s", r.Factor(), MaxWaste.Factor())
	}
	return nil
}

// TakeOffOptions says how to count. Nil, like the zero value, means the defaults.
type TakeOffOptions struct {
	// Waste is the factor from the length that is cut to the length to buy, from 1
	// to MaxWaste; 0 means DefaultWaste.
	Waste quantity.Ratio
	// End is the length of cable that is allowed at each end in a box, in place of
	// what the rules of the region ask for, at most MaxAllowance; 0 means those.
	End quantity.Length
	// Panel is the same for an end in a panel, about which the codes say little; 0
	// means as much as in a box.
	Panel quantity.Length
	// InPlace names cables that lie there already. They are cut from no roll and
	// want no supports.
	InPlace []string
}

func (o *TakeOffOptions) check(w *wiring.Spec) error {
	var errs []error
	if err := checkWaste(o.Waste); err != nil {
		errs = append(errs, err)
	}
	for _, l := range []quantity.Length{o.End, o.Panel} {
		if l != 0 {
			if err := checkAllowance(l); err != nil {
				errs = append(errs, err)
			}
		}
	}
	known := map[string]bool{}
	for i := range w.Cables {
		known[w.Cables[i].Name] = true
	}
	for _, name := range o.InPlace {
		if !known[name] {
			errs = append(errs, fmt.Errorf("there is no cable %q that could be in place", name))
		}
	}
	return errors.Join(errs...)
}

// A TakeOff is the material of a job.
type TakeOff struct {
	// Waste is the factor from the length that is cut to the length to buy.
	Waste quantity.Ratio `json:"waste"`
	// Unit is the unit in which lengths are printed, a foot or a meter: meters if
	// some cable's length is no whole number of sixteenths of an inch.
	Unit quantity.Length `json:"unit"`
	// Cables are the cables to buy by type, in name order.
	Cables []CableTotal `json:"cables"`
	// Wires are the conductors of the loose sets among Cables, in name order.
	Wires []WireTotal `json:"wires,omitempty"`
	// Cuts are all cables, in the order of the job; a sum has none.
	Cuts []Cut `json:"cuts"`
	// Items are what is counted by the piece, in the order of their kinds, then of
	// gangs, of conductors joined, and of their names.
	Items []Item `json:"items"`
	// Cost is the sum of what has a price, and Effort of what has a labor figure,
	// both by the region's stock; zero where nothing has. Unpriced is how many
	// lines of Cables and Items have no price.
	Cost     rules.Amount `json:"cost,omitzero"`
	Effort   rules.Amount `json:"effort,omitzero"`
	Unpriced int          `json:"unpriced"`
	// Notes are what the counts leave open, in sentences.
	Notes []string `json:"notes"`
}

// CableTotal is the cable of one type.
type CableTotal struct {
	Type   string `json:"type"`
	Pieces int    `json:"pieces"`
	// Jobs is, in a sum, in how many of the jobs it is.
	Jobs int `json:"jobs,omitzero"`
	// Unknown is how many of the pieces have no known length and are in no sum.
	Unknown int `json:"unknown,omitzero"`
	// Cut is the sum of the lengths to cut, Buy the same with waste.
	Cut  quantity.Length `json:"cut"`
	Buy  quantity.Length `json:"buy"`
	Rule string          `json:"rule"`
	// Price and Labor are those of the stock; Cost is the price of Buy, Effort the
	// labor of Cut.
	Price  rules.Rate   `json:"price,omitzero"`
	Labor  rules.Rate   `json:"labor,omitzero"`
	Cost   rules.Amount `json:"cost,omitzero"`
	Effort rules.Amount `json:"effort,omitzero"`
}

// Cut is one cable as it is cut.
type Cut struct {
	Cable string `json:"cable"`
	Type  string `json:"type"`
	// Run is its length from box to box, 0 if not known; From and To are what is
	// allowed at its ends, and Length is the sum, 0 if the run is not known.
	Run     quantity.Length `json:"run,omitzero"`
	From    quantity.Length `json:"from"`
	To      quantity.Length `json:"to"`
	Length  quantity.Length `json:"length,omitzero"`
	InPlace bool            `json:"in_place,omitzero"`
}

// Item is a line of what is counted by the piece.
type Item struct {
	Kind ItemKind `json:"kind"`
	// Name says which: "three-way", "device, 2 gangs, marked 34 in3", "3 x 14 AWG".
	Name  string `json:"name"`
	Count int    `json:"count"`
	// Jobs is, in a sum, in how many of the jobs it is.
	Jobs int `json:"jobs,omitzero"`
	// Gangs is how many gangs wide a box or plate is.
	Gangs int `json:"gangs,omitzero"`
	// Joined is how many conductors a wire connector joins, and Size the largest of
	// them; of a pigtail or jumper it is its own size. None: not stated.
	Joined int            `json:"joined,omitzero"`
	Size   conductor.Size `json:"size,omitzero"`
	// Rule says how it was counted.
	Rule string `json:"rule"`
	// Price and Labor are those of the stock for one; Cost and Effort are for all.
	Price  rules.Amount `json:"price,omitzero"`
	Labor  rules.Amount `json:"labor,omitzero"`
	Cost   rules.Amount `json:"cost,omitzero"`
	Effort rules.Amount `json:"effort,omitzero"`
}

// Supply returns the name under which the stock of a region may price the item, its
// kind and name: "device three-way".
func (i Item) Supply() string { return i.Kind.String() + " " + i.Name }

// NewTakeOff counts the material of a wiring. The error says what is wrong with opt,
// that there is no wiring or region, or that a cost is beyond any number. It takes
// time linear in the job but for sorting.
func NewTakeOff(w *wiring.Wiring, region *rules.Region, opt *TakeOffOptions) (*TakeOff, error) {
	if w.Check() != nil || region == nil {
		return nil, errors.New("packet: a wiring and the rules of a region are needed")
	}
	t := &taker{w: w, spec: w.Spec(), region: region, speak: speak(&region.Wiring.Terms),
		boxes: map[string]*wiring.Box{}, cores: map[wiring.Wire]core{}, lights: map[switchnet.Ref]*wiring.Light{}, covered: map[string]bool{},
		straps: map[string][]strap{}, entering: map[string][]int{}, items: map[itemKey]*Item{}}
	if opt != nil {
		t.opt = *opt
	}
	if t.opt.Waste == 0 {
		t.opt.Waste = DefaultWaste
	}
	if err := t.opt.check(&t.spec); err != nil {
		return nil, fmt.Errorf("take-off: %w", err)
	}
	t.out = &TakeOff{Waste: t.opt.Waste, Unit: unitOf(t.spec.Cables), Cables: []CableTotal{}, Cuts: []Cut{}, Items: []Item{}, Notes: []string{}}
	t.index()
	if t.spec.Installed != 0 {
		t.note("The job is an installation of %d: this says what is there, not what to buy.", t.spec.Installed)
	}
	if err := t.cables(); err != nil {
		return nil, fmt.Errorf("take-off: %w", err)
	}
	t.enclosures()
	t.pieces()
	t.joints()
	for _, i := range t.items {
		t.out.Items = append(t.out.Items, *i)
	}
	slices.SortFunc(t.out.Items, compareItems)
	if err := t.price(); err != nil {
		return nil, fmt.Errorf("take-off: %w", err)
	}
	return t.out, nil
}

func compareItems(a, b Item) int {
	return cmp.Or(cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Gangs, b.Gangs), cmp.Compare(a.Joined, b.Joined), strings.Compare(a.Name, b.Name))
}

// unitOf returns the unit in which people measured.
func unitOf(cables []wiring.Cable) quantity.Length {
	for _, c := range cables {
		if c.Length%(quantity.Inch/16) != 0 {
			return quantity.Meter
		}
	}
	return quantity.Foot
}

// taker counts.
type taker struct {
	w      *wiring.Wiring
	spec   wiring.Spec
	region *rules.Region
	opt    TakeOffOptions
	speak  func(string) string // in the region's words
	out    *TakeOff

	boxes    map[string]*wiring.Box
	cores    map[wiring.Wire]core
	lights   map[switchnet.Ref]*wiring.Light // those that are wired in
	covered  map[string]bool                 // boxes with such a light
	straps   map[string][]strap              // by box
	entering map[string][]int                // cables by box
	items    map[itemKey]*Item
}

// core is a conductor of a cable.
type core struct {
	size      conductor.Size
	material  conductor.Material
	grounding bool
}

type itemKey struct {
	kind ItemKind
	name string
}

func (t *taker) index() {
	for i := range t.spec.Boxes {
		t.boxes[t.spec.Boxes[i].Name] = &t.spec.Boxes[i]
	}
	for i := range t.spec.Cables {
		c := &t.spec.Cables[i]
		for _, k := range c.Type.Cores {
			t.cores[wiring.Wire{Cable: c.Name, Conductor: k.Colour.String()}] = core{k.Size, c.Type.Material, k.Grounding || !k.Insulated()}
		}
		t.entering[c.From] = append(t.entering[c.From], i)
		t.entering[c.To] = append(t.entering[c.To], i)
	}
	for i := range t.spec.Lights {
		if l := &t.spec.Lights[i]; l.On == "" {
			t.lights[switchnet.Ref{Place: l.Box, Name: l.Name}] = l
			t.covered[l.Box] = true
		}
	}
}

// count adds n of something. What a later call says of the same thing beside its
// number is as the first said.
func (t *taker) count(n int, item Item) {
	if n == 0 {
		return
	}
	key := itemKey{item.Kind, item.Name}
	if t.items[key] == nil {
		t.items[key] = &item
	}
	t.items[key].Count += n
}

func (t *taker) note(format string, args ...any) {
	t.out.Notes = append(t.out.Notes, fmt.Sprintf(format, args...))
}

// rule returns a rule that asks for a length and is in force in the edition of the
// region.
func (t *taker) rule(n rules.Name) (rules.Rule, bool) {
	return lengthRule(t.region, n)
}

// refused says why the region has no figure for a rule, or that it has no such rule.
func (t *taker) refused(n rules.Name) string {
	for _, r := range t.region.Refused {
		if r.Name == n.String() {
			return "the rules of " + t.region.ID + " have no sure figure: " + r.Why
		}
	}
	return "the rules of " + t.region.ID + " have no figure for it"
}

// InPlace returns the names of the cables of a plan that lie there already, as what
// was wanted says of their runs, in the order of the plan: for
// [TakeOffOptions].InPlace.
func InPlace(in intent.Intent, p *plan.Plan) []string {
	if p == nil {
		return nil
	}
	var out []string
	for _, c := range p.Cables {
		if c.Run >= 0 && c.Run < len(in.Runs) && in.Runs[c.Run].Existing {
			out = append(out, c.Name)
		}
	}
	return out
}
