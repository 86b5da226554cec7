package plan

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet/intent"
)

// A ChangeKind says what sort of change would help.
type ChangeKind uint8

// The kinds of change. The zero value is unset.
const (
	// AllowScheme: allow a control another scheme.
	AllowScheme ChangeKind = iota + 1
	// OtherCable: a larger cable, or one more, on a run.
	OtherCable
	// OtherRaceway: a raceway for loose conductors on a run.
	OtherRaceway
	// OtherFeed: bring the feed into another box.
	OtherFeed
	// Exempt: claim an exemption from the neutral at a control's places, if it
	// truly holds there.
	Exempt
	// LessNeeds: do without a need.
	LessNeeds
	// OpenRun: open a run that is there only if needed.
	OpenRun
	// LeaveRun: leave a run alone for the sake of boxes that are too small.
	LeaveRun
	// OtherBreaker: a smaller breaker for cable that is too small for its own.
	OtherBreaker
)

var changeWords = [...]string{"unset", "scheme", "cable", "raceway", "feed", "exemption", "needs", "run", "room", "breaker"}

// String returns the word, "unset" for a kind that has none.
func (k ChangeKind) String() string {
	if int(k) >= len(changeWords) {
		k = 0
	}
	return changeWords[k]
}

// MarshalText writes the word; a kind that has none is an error.
func (k ChangeKind) MarshalText() ([]byte, error) {
	if k < AllowScheme || k > OtherBreaker {
		return nil, fmt.Errorf("plan: change %d has no word", uint8(k))
	}
	return []byte(k.String()), nil
}

// A Change is one change to a request that would make it feasible.
type Change struct {
	Kind ChangeKind `json:"kind"`
	// Says is the change in words: "allow joined commons for stair".
	Says string `json:"says"`
	// Cost is what the plan with the change would cost, with all that is to be bought
	// for it.
	Cost rules.Amount `json:"-"`
	// Beside is the part of Cost that the plan of Intent does not show: of [OtherFeed]
	// the cable, uncut, that brings the feed into the other box, along the runs that
	// are open to it. Unknown says that no such runs lead there, so that this cable is
	// in neither.
	Beside  rules.Amount `json:"-"`
	Unknown bool         `json:"unknown,omitzero"`
	// Intent is the request with the change.
	Intent intent.Intent `json:"-"`
}

// maxFeedTries is the most boxes into which the feed is moved on trial.
const maxFeedTries = 40

// changes tries every single change of the kinds that may help and keeps those with
// which the request is feasible, cheapest first, and of equals in the order of the
// kinds and then of the request; those whose cost is not known whole come last.
func (m *maker) changes(ctx context.Context, p *Plan) error {
	// Many plans are made here, so each is searched less, and all together as much
	// as the first.
	left := m.opt.budget().prices / 2
	opt := Options{trial: true, Limit: min(m.opt.limit(), 512), prices: max(1, left/8)}
	if m.opt != nil {
		opt.Labor = m.opt.Labor
	}
	var failed error
	untried := 0
	try := func(c Change) {
		if failed != nil {
			return
		}
		if failed = ctx.Err(); failed != nil {
			return
		}
		if left <= 0 {
			untried++
			return
		}
		q, err := New(ctx, c.Intent, m.region, &opt)
		if q != nil {
			left -= q.work
		}
		if err != nil || !q.Status.OK() {
			return // a change that makes the request malformed is none
		}
		c.Cost = q.Cost + c.Beside
		p.Changes = append(p.Changes, c)
	}
	m.trySchemes(try)
	m.tryRuns(p, try)
	m.tryExemptions(try)
	for i, n := range m.in.Needs {
		in := *m.in
		in.Needs = slices.Delete(slices.Clone(in.Needs), i, i+1)
		what := fmt.Sprintf("%v in %s", n.Kind, n.Box)
		if n.For != "" {
			what += " (" + n.For + ")"
		}
		try(Change{Kind: LessNeeds, Says: "do without " + what, Intent: in})
	}
	m.tryOpening(try)
	m.tryBreakers(p, try)
	m.tryFeeds(p, try)
	if untried > 0 {
		p.Notes = append(p.Notes, fmt.Sprintf("%d changes more were not tried; a higher limit tries them", untried))
	}
	slices.SortStableFunc(p.Changes, func(a, b Change) int {
		last := func(c Change) int {
			if c.Unknown {
				return 1
			}
			return 0
		}
		return cmp.Or(last(a)-last(b), cmp.Compare(a.Cost, b.Cost))
	})
	return failed
}

type tryFunc = func(Change)

func (m *maker) trySchemes(try tryFunc) {
	for i, c := range m.in.Controls {
		for _, s := range intent.Schemes() {
			has := slices.Contains(c.Schemes, s) || len(c.Schemes) == 0 && s == intent.Chain
			if has || s == intent.JoinedCommons && len(c.Places) != 2 {
				continue
			}
			in := *m.in
			in.Controls = slices.Clone(in.Controls)
			in.Controls[i].Schemes = append(slices.Clone(c.Schemes), s)
			if len(c.Schemes) == 0 {
				in.Controls[i].Schemes = []intent.Scheme{intent.Chain, s}
			}
			try(Change{Kind: AllowScheme, Says: fmt.Sprintf("allow %v for %s", s, c.Name), Intent: in})
		}
	}
}

// tryRuns changes what is laid on the runs that lack something: all of them at once,
// since each of them lacks it.
func (m *maker) tryRuns(p *Plan, try tryFunc) {
	free, raceway := *m.in, *m.in
	free.Runs, raceway.Runs = slices.Clone(m.in.Runs), slices.Clone(m.in.Runs)
	var where, given []string
	for _, l := range p.Lacks {
		r := &m.in.Runs[l.Run]
		name := fmt.Sprintf("from %s to %s", l.From, l.To)
		where = append(where, name)
		raceway.Runs[l.Run].Raceway, raceway.Runs[l.Run].Cable, raceway.Runs[l.Run].Existing = true, conductor.CableType{}, false
		if r.Cable.Name != "" {
			given = append(given, name)
			free.Runs[l.Run].Cable, free.Runs[l.Run].Existing = conductor.CableType{}, false
		}
	}
	if len(given) > 0 {
		try(Change{Kind: OtherCable, Says: fmt.Sprintf("pull what is needed %s in place of the cable given", listed(given)), Intent: free})
	}
	m.tryLarger(p, where, try)
	try(Change{Kind: OtherRaceway, Says: fmt.Sprintf("lay a raceway for loose conductors %s", listed(where)), Intent: raceway})
}

// tryLarger adds a cable of one conductor more to the stock, as often as is needed.
func (m *maker) tryLarger(p *Plan, where []string, try tryFunc) {
	if len(m.in.Runs) == 0 || len(p.Lacks) == 0 {
		return
	}
	var base *product
	for _, s := range m.stores {
		if s == nil {
			continue
		}
		for i := range s.products {
			if q := &s.products[i]; base == nil || len(q.cable.Cores) > len(base.cable.Cores) {
				base = q
			}
		}
	}
	largest := 0
	for _, l := range p.Lacks {
		if m.in.Runs[l.Run].Cable.Name == "" && !m.in.Runs[l.Run].Raceway {
			largest = max(largest, len(l.Conductors))
		}
	}
	circuit := base.cable.Circuit()
	if largest <= circuit {
		return
	}
	pal := paletteOf(&m.region.Wiring)
	t := base.cable
	t.Cores = slices.Clone(t.Cores)
	for _, c := range pal.line {
		if _, taken := t.Core(c); taken || t.Circuit() == largest {
			continue
		}
		core := conductor.Core{Colour: c, Size: t.Size}
		t.Cores = slices.Insert(t.Cores, t.Circuit(), core)
	}
	t.Name = fmt.Sprintf("%s with %d conductors", base.cable.Name, t.Circuit())
	in := *m.in
	in.Stock = slices.Clone(in.Stock)
	if len(in.Stock) == 0 {
		for _, c := range m.region.Stock.Cables {
			if c.Price.Known() {
				return // what it would cost is not known
			}
			in.Stock = append(in.Stock, intent.Stock{Cable: c.Type})
		}
	}
	weight := m.in.Stock
	if len(weight) > 0 && weight[0].Weight > 0 {
		return
	}
	in.Stock = append(in.Stock, intent.Stock{Cable: t})
	try(Change{Kind: OtherCable, Says: fmt.Sprintf("a cable of %d conductors and a ground, if one can be had, %s", t.Circuit(), listed(where)), Intent: in})
}

// tryExemptions leaves out the neutral at the places of one control, or of all: as
// long as an exemption of the region holds there, which only the site can tell.
func (m *maker) tryExemptions(try tryFunc) {
	if !m.neutralWanted() {
		return
	}
	word := ""
	for _, e := range m.region.Wiring.Neutral.Exemptions {
		if e.During.Holds(m.year()) && e.Exemption != rules.WholeAreaSeenOnce {
			if word == "" {
				word = e.Exemption.String()
			}
		}
	}
	if word == "" {
		return
	}
	exempt := func(places []string) (intent.Intent, []string) {
		in := *m.in
		in.Exemptions = slices.Clone(in.Exemptions)
		var added []string
		for _, b := range places {
			if !slices.ContainsFunc(in.Exemptions, func(e intent.Exemption) bool { return e.Box == b }) {
				in.Exemptions = append(in.Exemptions, intent.Exemption{Box: b, By: word})
				added = append(added, b)
			}
		}
		return in, added
	}
	var all []string
	for _, c := range m.in.Controls {
		all = append(all, c.Places...)
		for _, b := range c.Places {
			if in, added := exempt([]string{b}); len(added) > 0 {
				try(Change{Kind: Exempt, Says: fmt.Sprintf("leave out the neutral at %s, if an exemption of %s holds there", b, m.region.Wiring.Neutral.Rule.Source.Section), Intent: in})
			}
		}
		if len(c.Places) > 1 {
			if in, added := exempt(c.Places); len(added) > 1 {
				try(Change{Kind: Exempt, Says: fmt.Sprintf("leave out the neutral at all places of %s, if an exemption of %s holds there", c.Name, m.region.Wiring.Neutral.Rule.Source.Section), Intent: in})
			}
		}
	}
	if len(m.in.Controls) > 1 {
		if in, added := exempt(all); len(added) > 1 {
			try(Change{Kind: Exempt, Says: fmt.Sprintf("leave out the neutral at every switch, if an exemption of %s holds there", m.region.Wiring.Neutral.Rule.Source.Section), Intent: in})
		}
	}
}
