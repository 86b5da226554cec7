package lab

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet/check"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/plan"
	"example.com/switchleg/switchnet/wiring"
)

// A Range is how many there may be, both ends included. The zero Range means what the
// field that it stands in says.
type Range struct{ Least, Most int }

func (r Range) or(least, most int) Range {
	if r == (Range{}) {
		return Range{least, most}
	}
	return r
}

func (r Range) draw(rng *rand.Rand) int { return r.Least + rng.IntN(r.Most-r.Least+1) }

// A Site is where along the row of places something is. The zero Site is anywhere, as
// the seed decides.
type Site uint8

// The sites.
const (
	AtFirst  Site = iota + 1 // the first place of the row
	AtLast                   // the last
	AtMiddle                 // one between, or the first where there is none
	AtLight                  // the box of the first light; of a feed only
)

var siteWords = [...]string{"", "first place", "last place", "middle place", "light"}

// String returns the words: "first place", "light"; "anywhere" of the zero Site.
func (s Site) String() string {
	if s == 0 {
		return "anywhere"
	}
	if int(s) < len(siteWords) {
		return siteWords[s]
	}
	return fmt.Sprintf("Site(%d)", uint8(s))
}

// MarshalText writes the words; a site that has none is an error.
func (s Site) MarshalText() ([]byte, error) {
	if int(s) >= len(siteWords) {
		return nil, fmt.Errorf("lab: %d is no site", uint8(s))
	}
	return []byte(s.String()), nil
}

// UnmarshalText reads the words.
func (s *Site) UnmarshalText(text []byte) error {
	for i := range siteWords {
		if Site(i).String() == string(text) {
			*s = Site(i)
			return nil
		}
	}
	return fmt.Errorf("lab: %q is no site: write %q, %q, %q, %q or %q", text, Site(0), AtFirst, AtLast, AtMiddle, AtLight)
}

// Limits of a recipe.
const (
	MaxPlaces = 8
	MaxLights = 4
)

// A Recipe says what jobs to generate: a row of places that switch the lights of one
// control, some of them with a second switch beside for a light of its own, one circuit,
// planned at least cost under the rules of a region.
type Recipe struct {
	// Region is the region. It must be set.
	Region *rules.Region
	// Places is how many places switch the control; zero means 2 to 4. From 1 to
	// MaxPlaces.
	Places Range
	// Lights is how many lights it has; zero means 1 to 2. From 1 to MaxLights.
	Lights Range
	// TwoGang is how many of the places have a second switch beside the first, in a
	// box of two gangs, at most the places, and at most 3; zero means 0 to 1.
	TwoGang Range
	// NoTwoGang says that no place has.
	NoTwoGang bool
	// Feed is where the feed comes in, and Light where the first light hangs.
	Feed, Light Site
	// Spare is how many runs there are beside those that reach everything, for tasks
	// that ask for a choice of runs; at most 6.
	Spare Range
	// Breaker is the rating of the circuit's; zero means 15 A where a line has less
	// than 200 V to the neutral, and 6 A otherwise.
	Breaker quantity.Current
	// Stock lists the cables to plan with; empty means the region's. A region whose
	// rules cannot judge the sizes of its own needs it.
	Stock []intent.Stock
}

// Generate returns the base of a recipe, or everything that is wrong with it.
func Generate(r Recipe) (Base, error) {
	r.Places, r.Lights = r.Places.or(2, 4), r.Lights.or(1, 2)
	switch {
	case r.NoTwoGang:
		r.TwoGang = Range{}
	case r.TwoGang == Range{}:
		r.TwoGang = Range{0, 1}
	}
	var wrong []string
	in := func(name string, x Range, least, most int) {
		if x.Least < least || x.Most > most || x.Most < x.Least {
			wrong = append(wrong, fmt.Sprintf("%s is %d to %d; it lies between %d and %d, the least first", name, x.Least, x.Most, least, most))
		}
	}
	in("Places", r.Places, 1, MaxPlaces)
	in("Lights", r.Lights, 1, MaxLights)
	in("TwoGang", r.TwoGang, 0, 3)
	if r.TwoGang.Least > r.Places.Least {
		wrong = append(wrong, fmt.Sprintf("TwoGang is %d at least, and there may be no more than %d places", r.TwoGang.Least, r.Places.Least))
	}
	in("Spare", r.Spare, 0, 6)
	if _, err := r.Feed.MarshalText(); err != nil {
		wrong = append(wrong, "Feed: "+err.Error())
	}
	if _, err := r.Light.MarshalText(); err != nil || r.Light == AtLight {
		wrong = append(wrong, "Light: a light hangs at the first, last or middle place")
	}
	if r.Breaker < 0 {
		wrong = append(wrong, "Breaker is below zero")
	}
	if r.Region == nil {
		wrong = append(wrong, "Region is not set")
	}
	if len(wrong) > 0 {
		return Base{}, fmt.Errorf("lab: the recipe is wrong: %s", strings.Join(wrong, "; "))
	}
	f, err := job.Parse("recipe", []byte("format: 1\nrules: "+r.Region.ID+"\n"),
		&job.Options{Region: func(string) (*rules.Region, error) { return r.Region, nil }})
	if err != nil {
		return Base{}, fmt.Errorf("lab: the region %s states no supply: %w", r.Region.ID, err)
	}
	if r.Breaker == 0 {
		r.Breaker = 15 * quantity.Ampere
		if f.Wiring.Supply.LineToNeutral >= 200*quantity.Volt {
			r.Breaker = 6 * quantity.Ampere
		}
	}
	suite := check.Everything(r.Region)
	return Base{recipe: &r, supply: f.Wiring.Supply, suite: &suite, sizer: sizerOf(r.Region)}, nil
}

// The names of places and of what hangs beside them.
var (
	placeNames = []string{"store-door", "slip-door", "yard-door", "stair-foot", "loft", "workbench", "sail-rack", "winch"}
	besides    = []string{"slipway", "stair", "bench"}
)

// draws is how many jobs are drawn for a seed before it is given up that one can be
// planned with the cables of the region.
const draws = 40

// draw returns the job of a seed.
func (b Base) draw(ctx context.Context, seed Seed) (*Job, error) {
	var last string
	for n := range draws {
		rng := seed.Rand("job", fmt.Sprint(n))
		in := b.recipe.intent(rng, b)
		p, err := plan.New(ctx, in, b.recipe.Region, nil)
		if err != nil {
			return nil, fmt.Errorf("lab: a generated job: %w", err)
		}
		if !p.Status.OK() {
			last = lacks(p)
			continue
		}
		w, err := wiring.New(p.Spec)
		if err != nil {
			return nil, fmt.Errorf("lab: a generated job: %w", err)
		}
		return &Job{Region: b.recipe.Region, Title: "Boat shed", Intent: in, Wiring: w, suite: b.suite, sizer: b.sizer}, nil
	}
	return nil, fmt.Errorf("lab: of %d jobs of the recipe none can be wired with the cables of region %s: %s; fewer places, or a feed elsewhere, take fewer conductors",
		draws, b.recipe.Region.ID, last)
}

// intent draws what is wanted.
func (r *Recipe) intent(rng *rand.Rand, b Base) intent.Intent {
	metric := b.supply.LineToNeutral >= 200*quantity.Volt
	in := intent.Intent{Supply: b.supply, Stock: slices.Clone(r.Stock)}
	in.Feeds = []wiring.Feed{{Name: "shed lights", Box: "panel", Breaker: r.Breaker}}
	in.Boxes = []wiring.Box{{Name: "panel", Kind: wiring.Panel}}
	length := func(least, most int) quantity.Length {
		n := quantity.Length(least + rng.IntN(most-least+1))
		if metric {
			return n * 300 * quantity.Millimeter
		}
		return n * quantity.Foot
	}
	run := func(from, to string, least, most int) {
		in.Runs = append(in.Runs, intent.Run{From: from, To: to, Length: length(least, most)})
	}
	light := func(name, box string) {
		in.Boxes = append(in.Boxes, wiring.Box{Name: box, Kind: wiring.CeilingBox})
		watts := quantity.Power(6*(1+rng.IntN(9))) * quantity.Watt
		in.Lights = append(in.Lights, wiring.Light{Name: name, Box: box, Power: watts, Volts: b.supply.LineToNeutral})
	}

	places := r.Places.draw(rng)
	names := slices.Clone(placeNames)
	rng.Shuffle(len(names), func(i, j int) { names[i], names[j] = names[j], names[i] })
	names = names[:places]
	ganged := map[int]bool{}
	for _, i := range rng.Perm(places)[:min(r.TwoGang.draw(rng), places)] {
		ganged[i] = true
	}
	for i, n := range names {
		box := wiring.Box{Name: n, Kind: wiring.DeviceBox, Gangs: 1}
		if ganged[i] {
			box.Gangs = 2
		}
		in.Boxes = append(in.Boxes, box)
	}
	at := func(s Site) int {
		switch s {
		case AtFirst:
			return 0
		case AtLast:
			return places - 1
		case AtMiddle:
			if places < 3 {
				return 0
			}
			return 1 + rng.IntN(places-2)
		}
		return rng.IntN(places)
	}
	for i := 1; i < places; i++ {
		run(names[i-1], names[i], 8, 30)
	}
	main := intent.Control{Name: "aisle", Places: names}
	for i := range r.Lights.draw(rng) {
		name, box := fmt.Sprintf("aisle light %d", i+1), fmt.Sprintf("aisle-%d", i+1)
		light(name, box)
		main.Lights = append(main.Lights, name)
		if i == 0 {
			run(names[at(r.Light)], box, 6, 20)
		} else {
			run(fmt.Sprintf("aisle-%d", i), box, 8, 16)
		}
	}
	in.Controls = []intent.Control{main}
	feed := r.Feed
	if feed == 0 && rng.IntN(4) == 0 {
		feed = AtLight
	}
	if feed == AtLight {
		run("panel", "aisle-1", 8, 40)
	} else {
		run("panel", names[at(feed)], 8, 40)
	}
	k := 0
	for i, n := range names {
		if ganged[i] {
			name := besides[k]
			k++
			light(name+" light", name)
			run(n, name, 6, 20)
			in.Controls = append(in.Controls, intent.Control{Name: name, Lights: []string{name + " light"}, Places: []string{n}})
		}
	}
	r.spare(&in, rng, run)
	return in
}

// spare adds runs that close rings, no two between the same boxes.
func (r *Recipe) spare(in *intent.Intent, rng *rand.Rand, run func(from, to string, least, most int)) {
	n := r.Spare.draw(rng)
	for try := 0; n > 0 && try < 100; try++ {
		a, c := in.Boxes[rng.IntN(len(in.Boxes))].Name, in.Boxes[rng.IntN(len(in.Boxes))].Name
		if a == c || slices.ContainsFunc(in.Runs, func(x intent.Run) bool {
			return x.From == a && x.To == c || x.From == c && x.To == a
		}) {
			continue
		}
		run(a, c, 6, 40)
		n--
	}
}
