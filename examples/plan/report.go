package main

import (
	"cmp"
	"slices"
	"strings"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/internal/cautions"
	"example.com/switchleg/internal/program"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/plan"
	"example.com/switchleg/switchnet/wiring"
)

// report is what the program says about a plan.
type report struct {
	Title      string         `json:"title"`
	Region     program.Rules  `json:"region"`
	Status     plan.Status    `json:"status"`
	Cost       string         `json:"cost"`
	Bound      string         `json:"bound"` // no plan of the family costs less
	Unit       string         `json:"unit"`
	Cables     []cable        `json:"cables"`
	Material   []material     `json:"material"`
	Boxes      []box          `json:"boxes"`
	Controls   []control      `json:"controls"`
	Full       []plan.FullBox `json:"full,omitempty"`
	Lacks      []plan.Lack    `json:"lacks,omitempty"`
	Changes    []change       `json:"changes,omitempty"`
	Again      *again         `json:"again,omitempty"`
	Notes      []string       `json:"notes,omitempty"`
	BeforeWork []string       `json:"before_work"`

	gap   string              // by how much it may cost more than the best
	speak func(string) string // in the region's words; JSON keeps those of the packages
}

// again says what becomes of an earlier plan.
type again struct {
	After string           `json:"after"` // the file it is in
	Boxes []plan.BoxChange `json:"boxes"`
	// Saving is by how much a plan that keeps nothing would cost less; below zero
	// where one that is as good was not found.
	Saving string `json:"saving"`
}

type cable struct {
	Name       string           `json:"name"`
	Type       string           `json:"type"`
	From       string           `json:"from"`
	To         string           `json:"to"`
	Length     quantity.Length  `json:"length"`
	Cost       string           `json:"cost"`
	Why        string           `json:"why"`
	Conductors []plan.Conductor `json:"conductors"`
}

// material is how much of one type of cable is to be pulled, without waste.
type material struct {
	Type   string          `json:"type"`
	Length quantity.Length `json:"length"`
}

// box is a box with its switches and what can be used in it.
type box struct {
	Name     string   `json:"name"`
	Kind     string   `json:"kind"`
	Gangs    int      `json:"gangs,omitzero"`
	Devices  []device `json:"devices"`
	Hots     []supply `json:"hots"`
	Neutrals []supply `json:"neutrals"`
	Legs     []string `json:"legs"`
	Spares   []string `json:"spares"`
	Says     []string `json:"says"`
}

// supply is a hot or a neutral that stays apart from the others in a box.
type supply struct {
	Feed  string   `json:"feed"`
	Wires []string `json:"wires"` // none at the feed itself
}

type device struct {
	Control string `json:"control"`
	Kind    string `json:"kind"`
}

type control struct {
	Name   string        `json:"name"`
	Scheme string        `json:"scheme"`
	Order  []stop        `json:"order"` // from the hot to the switch leg
	Next   []alternative `json:"next,omitempty"`
}

// stop is a place of a control with what stands there.
type stop struct {
	Box  string `json:"box"`
	Kind string `json:"kind"`
}

type alternative struct {
	Scheme intent.Scheme `json:"scheme"`
	Order  []string      `json:"order"`
	More   string        `json:"more"`            // cost beyond the plan's; below zero after an earlier plan that is kept
	Lacks  int           `json:"lacks,omitempty"` // conductors for which there is no room
}

type change struct {
	Kind plan.ChangeKind `json:"kind"`
	Says string          `json:"says"`
	Cost string          `json:"cost"`
	// Beside is the part of the cost that brings a feed into another box; with Unknown
	// no run says how long that is, and it is in neither.
	Beside  string `json:"beside,omitempty"`
	Unknown bool   `json:"unknown,omitempty"`
}

func newReport(job *program.Job, p *plan.Plan) (*report, error) {
	r := &report{Title: job.Title, Region: program.RulesOf(job.Region), Status: p.Status,
		Cost: p.Cost.String(), Bound: p.Bound.String(), Unit: p.Unit, gap: p.Gap().String(), speak: job.Region.Wiring.Terms.Speaker(),
		Cables: []cable{}, Material: []material{}, Boxes: []box{}, Controls: []control{},
		Full: p.Full, Lacks: p.Lacks, Notes: slices.Clone(p.Notes), BeforeWork: cautions.Work()}
	for _, c := range p.Changes {
		k := change{Kind: c.Kind, Says: c.Says, Cost: c.Cost.String(), Unknown: c.Unknown}
		if c.Beside != 0 {
			k.Beside = c.Beside.String()
		}
		r.Changes = append(r.Changes, k)
	}
	if !p.Status.OK() {
		return r, nil
	}
	w, err := wiring.New(p.Spec)
	if err != nil {
		return nil, err
	}
	r.cables(job, p)
	kinds := map[switchnet.Ref]string{}
	for _, d := range p.Spec.Devices {
		kinds[switchnet.Ref{Place: d.Box, Name: d.Name}] = d.Kind.Name
	}
	for i, a := range plan.AvailableEverywhere(w) {
		r.Boxes = append(r.Boxes, newBox(&p.Spec.Boxes[i], a, kinds))
	}
	for _, c := range p.Controls {
		out := control{Name: c.Name, Scheme: c.Scheme.String(), Order: []stop{}}
		if len(c.Order) == 1 {
			out.Scheme = "single switch"
		}
		for _, name := range c.Order {
			out.Order = append(out.Order, stop{name, kinds[switchnet.Ref{Place: name, Name: c.Name}]})
		}
		for _, n := range c.Next {
			out.Next = append(out.Next, alternative{n.Scheme, n.Order, signed(n.More), n.Lacks})
		}
		r.Controls = append(r.Controls, out)
	}
	return r, nil
}

// again says of what earlier plan this one keeps what it can.
func (r *report) again(after string, rev *plan.Revision) {
	if rev.Plan.Status.OK() {
		r.Again = &again{after, append([]plan.BoxChange{}, rev.Boxes...), signed(rev.Saving())}
	}
}

// cables adds the cables and, in the order of the types' names, how much of each is to
// be pulled.
func (r *report) cables(job *program.Job, p *plan.Plan) {
	for i, c := range p.Cables {
		spec := &p.Spec.Cables[i]
		r.Cables = append(r.Cables, cable{c.Name, c.Type, spec.From, spec.To, spec.Length, c.Cost.String(), c.Why, c.Conductors})
		if job.Intent.Runs[c.Run].Existing {
			continue
		}
		k := slices.IndexFunc(r.Material, func(m material) bool { return m.Type == c.Type })
		if k < 0 {
			k = len(r.Material)
			r.Material = append(r.Material, material{Type: c.Type})
		}
		r.Material[k].Length += spec.Length
	}
	slices.SortStableFunc(r.Material, func(a, b material) int { return cmp.Compare(a.Type, b.Type) })
}

func newBox(b *wiring.Box, a plan.Available, kinds map[switchnet.Ref]string) box {
	out := box{Name: b.Name, Kind: boxKind(b), Gangs: b.Gangs, Devices: []device{}, Hots: supplies(a.Hots), Neutrals: supplies(a.Neutrals),
		Legs: names(a.Legs), Spares: []string{}, Says: append([]string{}, a.Says...)}
	for _, s := range a.Spares {
		out.Spares = append(out.Spares, s.String())
	}
	for _, s := range a.Switches {
		out.Devices = append(out.Devices, device{s.Name, kinds[s]})
	}
	return out
}

func boxKind(b *wiring.Box) string {
	if b.Kind == wiring.Panel {
		return "panel"
	}
	return b.Kind.String() + " box"
}

// names returns the names of lights, without their boxes.
func names(refs []switchnet.Ref) []string {
	out := []string{}
	for _, r := range refs {
		out = append(out, r.Name)
	}
	return out
}

func supplies(list []plan.Supply) []supply {
	out := []supply{}
	for _, s := range list {
		n := supply{s.Feed.Name, []string{}}
		for _, w := range s.Wires {
			n.Wires = append(n.Wires, w.String())
		}
		out = append(out, n)
	}
	return out
}

// told names the feeds of supplies, with the wires where a feed has several.
func told(list []supply) []string {
	var out []string
	for i, s := range list {
		text := s.Feed
		if slices.ContainsFunc(slices.Delete(slices.Clone(list), i, i+1), func(o supply) bool { return o.Feed == s.Feed }) {
			text += " (" + cmp.Or(strings.Join(s.Wires, ", "), "at the feed") + ")"
		}
		out = append(out, text)
	}
	return out
}

// signed prints a difference of costs.
func signed(a rules.Amount) string {
	if a < 0 {
		return "-" + (-a).String()
	}
	return a.String()
}

// money puts a cost in words, to the nearest hundredth.
func (r *report) money(amount string) string {
	amount = rounded(amount, nearest)
	if strings.HasPrefix(r.Unit, "the ") {
		return amount + " in " + r.Unit
	}
	return amount + " " + r.Unit
}

// The ways to round: a bound below which nothing lies goes down, and what something is at
// most goes up, so that what is said of them stays true.
const (
	down, nearest, up = 0, 5_000, 9_999 // millionths that are added before cutting off
)

// rounded rounds an amount that is not below zero to the hundredth; JSON has it whole.
func rounded(amount string, how rules.Amount) string {
	const hundredth = 10_000
	a, err := rules.ParseAmount(amount)
	if err != nil {
		return amount
	}
	return ((a + how) / hundredth * hundredth).String()
}
