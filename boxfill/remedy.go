package boxfill

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
)

// A RemedyKind is one way to make the contents fit. The zero RemedyKind is unset.
type RemedyKind int

// The kinds of remedy, least work first; that is their rank.
const (
	ClampsOutside     RemedyKind = iota + 1 // connectors with the clamp outside the box
	FitPlasterRing                          // a plaster ring marked with its volume
	FitExtensionRing                        // an extension ring
	FitDomedCover                           // a domed cover marked with its volume
	LargerBox                               // another box of the stock
	CableElsewhere                          // one cable routed to another box
	SmallerConductors                       // a smaller size, where the circuit allows it
)

var remedyWords = []string{"", "clamps outside", "plaster ring", "extension ring", "domed cover", "larger box",
	"cable elsewhere", "smaller conductors"}

func (k RemedyKind) String() string                   { return word(remedyWords, k) }
func (k RemedyKind) MarshalText() ([]byte, error)     { return marshalWord(remedyWords, k) }
func (k *RemedyKind) UnmarshalText(text []byte) error { return unmarshalWord(remedyWords, k, text) }

// RemedyOptions is what could be done. What is left empty is not proposed. That
// a box or ring suits the place is the caller's to know, but for an extension
// ring made from a box type: it is only proposed for a box of a type with that
// face.
type RemedyOptions struct {
	Stock     []StockBox      // boxes to be had
	Additions []StockAddition // rings and covers to be had
	Cables    []Cable         // cables that could go to another box
	// Smaller lists sizes that may stand in for others. Whether a circuit's
	// overcurrent device and load allow it is the caller's to know.
	Smaller []Substitution
}

// A Cable is what leaves the contents with one cable. Its entries must be among
// the contents, by size, role and loop, or size and kind.
type Cable struct {
	Name       string
	Conductors []Conductors
	Grounds    []Grounds
}

// A Substitution is a smaller size that may stand in for a larger one, in every
// conductor of that size in the box.
type Substitution struct {
	From, To conductor.Size
}

// A Remedy is one step, or a few together where no single one is enough.
type Remedy struct {
	Steps []Step          `json:"steps"` // in the order in which they were worked out
	Frees quantity.Volume `json:"frees"` // by how much the spare volume grows
	// Contents and Result are the box afterwards, worked out anew.
	Contents Contents `json:"-"`
	Result   Result   `json:"result"`
}

// A Step is one thing to do. Text is for people and not stable.
type Step struct {
	Kind RemedyKind `json:"kind"`
	Text string     `json:"text"`
}

// Cures reports whether the box fits after the remedy.
func (r *Remedy) Cures() bool { return r.Result.Status.OK() }

// maxSteps is how many steps a remedy may have.
const maxSteps = 3

// Remedies returns what makes the contents fit, each verified by recomputation:
// the remedies that cure first, by the rank of their kind, then by volume freed,
// largest first, then by text; after them, in the order of volume freed, single
// steps that only help. Where no single step cures, the cures are the
// combinations with the fewest steps, two or three. A step that frees nothing is
// left out. Of rings and boxes the smallest that cures is proposed, or the
// largest if none does.
//
// The result is empty unless the status of the contents is [DoesNotFit]: there
// is nothing to cure in a box that fits, and a box of unknown volume needs its
// volume read first. The error is a [Problems] about the contents or the options.
func Remedies(table *Table, contents Contents, options RemedyOptions) ([]Remedy, error) {
	before, err := Fill(table, contents)
	if err != nil {
		return nil, err
	}
	m := mender{table: table, options: options, before: before}
	if err := m.check(contents); err != nil || before.Status != DoesNotFit {
		return nil, err
	}
	steps := m.steps()
	cured := false
	var remedies []Remedy
	for n := 1; n <= maxSteps && !cured; n++ {
		m.combine(contents, steps, n, nil, func(r Remedy) {
			if r.Cures() || n == 1 {
				remedies = append(remedies, r)
				cured = cured || r.Cures()
			}
		})
	}
	slices.SortFunc(remedies, compareRemedies)
	return remedies, nil
}

func compareRemedies(a, b Remedy) int {
	if a.Cures() != b.Cures() {
		if a.Cures() {
			return -1
		}
		return 1
	}
	kinds := slices.CompareFunc(a.Steps, b.Steps, func(s, t Step) int { return cmp.Compare(s.Kind, t.Kind) })
	freed := cmp.Compare(b.Frees, a.Frees)
	if a.Cures() {
		freed, kinds = kinds, freed // below, kinds is the second criterion
	}
	texts := slices.CompareFunc(a.Steps, b.Steps, func(s, t Step) int { return strings.Compare(s.Text, t.Text) })
	return cmp.Or(freed, kinds, texts)
}

// mender works out remedies.
type mender struct {
	table   *Table
	options RemedyOptions
	before  Result
}

// step is something that can be done to contents. do returns what it leaves and
// how to say it, and false where there is nothing of the kind to do.
type step struct {
	kind RemedyKind
	do   func(Contents) (Contents, string, bool)
}

// steps returns every step the options offer: what changes the count first, so
// that a ring or a box chosen after it is chosen for what is left.
func (m *mender) steps() []step {
	steps := []step{{ClampsOutside, m.clampsOutside}}
	for i := range m.options.Cables {
		cable := &m.options.Cables[i]
		steps = append(steps, step{CableElsewhere, func(c Contents) (Contents, string, bool) {
			rest, ok := without(c, cable)
			return rest, "route " + cable.Name + " to another box", ok
		}})
	}
	for _, s := range m.options.Smaller {
		steps = append(steps, step{SmallerConductors, func(c Contents) (Contents, string, bool) {
			text := fmt.Sprintf("use %v instead of %v, where the circuit's overcurrent device and load allow it", s.To, s.From)
			return resized(c, s), text, true
		}})
	}
	for _, a := range []struct {
		kind RemedyKind
		add  AdditionKind
	}{{FitPlasterRing, PlasterRing}, {FitExtensionRing, ExtensionRing}, {FitDomedCover, DomedCover}} {
		steps = append(steps, step{a.kind, func(c Contents) (Contents, string, bool) { return m.add(c, a.add) }})
	}
	return append(steps, step{LargerBox, m.largerBox})
}

// combine yields every combination of n of the steps, in their order, that
// frees something with each step.
func (m *mender) combine(c Contents, steps []step, n int, done []Step, yield func(Remedy)) {
	spare := m.before.Spare
	if result, err := Fill(m.table, c); err == nil {
		spare = result.Spare
	}
	for i := range steps {
		after, text, ok := steps[i].do(c)
		if !ok {
			continue
		}
		result, err := Fill(m.table, after)
		if err != nil || result.Status == VolumeUnknown || result.Status == Refused || result.Spare <= spare {
			continue
		}
		now := append(slices.Clip(done), Step{steps[i].kind, text})
		if n > 1 {
			m.combine(after, steps[i+1:], n-1, now, yield)
			continue
		}
		yield(Remedy{Steps: now, Frees: result.Spare - m.before.Spare, Contents: after, Result: result})
	}
}

func (m *mender) clampsOutside(c Contents) (Contents, string, bool) {
	c.Clamps = Clamps{External: c.Clamps.Internal + c.Clamps.External}
	return c, "take out the internal clamps and use connectors with the clamp outside the box", true
}

// add puts on the smallest ring or cover of the kind that cures, or the largest
// there is. Only extension rings stack, and a domed cover goes only over a box
// without devices.
func (m *mender) add(c Contents, kind AdditionKind) (after Contents, text string, ok bool) {
	alike := func(a Addition) bool { return a.Kind == kind && kind != ExtensionRing }
	if kind == DomedCover && len(c.Devices) > 0 || slices.ContainsFunc(c.Box.Additions, alike) {
		return c, "", false
	}
	var best *StockAddition
	var bestResult Result
	for i := range m.options.Additions {
		a := &m.options.Additions[i]
		if a.Addition.Kind != kind || !m.table.meets(&c.Box, &a.Addition) {
			continue
		}
		result, err := Fill(m.table, with(c, a.Addition))
		if err == nil && (best == nil || better(&result, &bestResult, a.Name, best.Name)) {
			best, bestResult = a, result
		}
	}
	if best == nil {
		return c, "", false
	}
	return with(c, best.Addition), fmt.Sprintf("fit %s %v (%s)", article(kind), kind, best.Name), true
}

func article(kind AdditionKind) string {
	if kind == ExtensionRing {
		return "an"
	}
	return "a"
}

// meets reports whether an addition goes on a box as far as its type tells: a
// ring made from a box type goes on one box of a type with the same face.
func (t *Table) meets(box *Box, a *Addition) bool {
	if a.Type == "" {
		return true
	}
	if len(box.Sections) != 1 || box.Sections[0].Count > 1 {
		return false
	}
	ring, under := t.boxType(a.Type), t.boxType(box.Sections[0].Type)
	return ring != nil && under != nil && ring.Shape == under.Shape && ring.Width == under.Width && ring.Second == under.Second
}

// better reports whether a is to be preferred to b: one that fits, then the
// smaller of two that fit or the larger of two that do not, then by name.
func better(a, b *Result, nameA, nameB string) bool {
	switch {
	case a.Status.OK() != b.Status.OK():
		return a.Status.OK()
	case a.Spare != b.Spare:
		return (a.Spare < b.Spare) == a.Status.OK()
	}
	return nameA < nameB
}

func with(c Contents, a Addition) Contents {
	c.Box.Additions = append(slices.Clip(c.Box.Additions), a)
	return c
}

// largerBox puts the contents in the smallest box of the stock they fit into, or
// in the one that leaves least missing.
func (m *mender) largerBox(c Contents) (after Contents, text string, ok bool) {
	var best *StockBox
	var bestResult Result
	needed := gangsNeeded(c.Devices)
	for i := range m.options.Stock {
		box := &m.options.Stock[i]
		if gangs := m.table.gangsOf(box); gangs > 0 && gangs < needed {
			continue
		}
		result, err := Fill(m.table, box.holding(c))
		if err != nil || result.Status == VolumeUnknown || result.Status == Refused {
			continue
		}
		if best == nil || better(&result, &bestResult, box.Name, best.Name) {
			best, bestResult = box, result
		}
	}
	if best == nil {
		return c, "", false
	}
	return best.holding(c), "use the box " + best.Name, true
}

// resized returns the contents with every conductor of one size replaced.
func resized(c Contents, s Substitution) Contents {
	c.Conductors, c.Grounds, c.Devices = slices.Clone(c.Conductors), slices.Clone(c.Grounds), slices.Clone(c.Devices)
	c.Blocks, c.Connectors = slices.Clone(c.Blocks), slices.Clone(c.Connectors)
	change := func(size *conductor.Size) {
		if *size == s.From {
			*size = s.To
		}
	}
	for i := range c.Conductors {
		change(&c.Conductors[i].Size)
	}
	for i := range c.Grounds {
		change(&c.Grounds[i].Size)
	}
	for i := range c.Devices {
		change(&c.Devices[i].Largest)
	}
	for i := range c.Blocks {
		change(&c.Blocks[i].Largest)
	}
	for i := range c.Connectors {
		change(&c.Connectors[i].Largest)
	}
	return c
}

// without returns the contents less a cable, and false if they do not hold it.
func without(c Contents, cable *Cable) (Contents, bool) {
	c.Conductors, c.Grounds = slices.Clone(c.Conductors), slices.Clone(c.Grounds)
	for _, out := range cable.Conductors {
		left := out.Count
		for i := range c.Conductors {
			in := &c.Conductors[i]
			if in.Size == out.Size && in.Role == out.Role && in.Loop == out.Loop {
				taken := min(left, in.Count)
				in.Count, left = in.Count-taken, left-taken
			}
		}
		if left != 0 {
			return c, false
		}
	}
	for _, out := range cable.Grounds {
		left := out.Count
		for i := range c.Grounds {
			in := &c.Grounds[i]
			if in.Size == out.Size && in.Kind == out.Kind {
				taken := min(left, in.Count)
				in.Count, left = in.Count-taken, left-taken
			}
		}
		if left != 0 {
			return c, false
		}
	}
	return c, true
}

// check returns every problem of the options.
func (m *mender) check(contents Contents) error {
	var problems Problems
	if _, err := Pick(m.table, m.options.Stock, contents); err != nil {
		problems = append(problems, under("", err)...)
	}
	for i := range m.options.Additions {
		if _, err := Fill(m.table, with(contents, m.options.Additions[i].Addition)); err != nil {
			problems = append(problems, under(fmt.Sprintf("Additions[%d].", i), err)...)
		}
	}
	for i := range m.options.Cables {
		cable := &m.options.Cables[i]
		negative := slices.ContainsFunc(cable.Conductors, func(c Conductors) bool { return c.Count < 0 }) ||
			slices.ContainsFunc(cable.Grounds, func(g Grounds) bool { return g.Count < 0 })
		if _, ok := without(contents, cable); !ok || negative {
			problems = append(problems, &Problem{fmt.Sprintf("Cables[%d]", i), ErrMismatch,
				fmt.Sprintf("%q: the contents do not hold the conductors of this cable", cable.Name)})
		}
	}
	for i, s := range m.options.Smaller {
		at := fmt.Sprintf("Smaller[%d]", i)
		switch {
		case !s.From.Valid() || !s.To.Valid():
			problems = append(problems, &Problem{at, ErrUnset, "no conductor size: give both"})
		case s.To.Compare(s.From) >= 0:
			problems = append(problems, &Problem{at, ErrMismatch, fmt.Sprintf("%v is not smaller than %v", s.To, s.From)})
		case m.table.allowance(s.To) == nil:
			problems = append(problems, &Problem{at, ErrSize, fmt.Sprintf("%v: %s has volumes for %s", s.To, m.table.Region, m.table.sizes())})
		}
	}
	return problems.err()
}
