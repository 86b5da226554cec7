package main

import (
	"errors"
	"flag"
	"fmt"
	"os"
	"strings"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/wiring"
)

// kind is what is asked about a circuit.
type kind uint8

const (
	sizeIt kind = iota + 1
	judgeIt
	largestLoad
	longestRun
	leastForDrop
)

// question is what was asked.
type question struct {
	kind       kind
	region     *rules.Region
	circuit    conductor.Circuit
	size       conductor.Size // for every kind but sizeIt and leastForDrop
	continuous bool           // of the largest load
	feed       string         // of the job file
	notes      []string       // what was assumed
}

func (q *question) note(format string, args ...any) {
	q.notes = append(q.notes, fmt.Sprintf(format, args...))
}

// ask turns flags into a question. A usageError lists all that is wrong with the
// flags.
func ask(f *flagged, flags *flag.FlagSet) (*question, error) {
	var r reader
	if flags.NArg() > 0 {
		r.fail("", "%q is no flag; every part of the question has one", flags.Arg(0))
	}
	if f.job != "" {
		return askJob(f, flags, &r)
	}
	if f.region == "" {
		r.fail("region", "name the rules that hold where the circuit is: %s", regions())
	}
	if f.feed != "" || f.anew {
		r.fail("feed", "a feed and -anew belong with -job")
	}
	q := &question{kind: sizeIt, continuous: f.continuous}
	r.kind(f, q)
	r.load(f, &q.circuit)
	if f.load == "" && f.other == "" && q.kind != largestLoad {
		r.fail("load", "give the load, such as \"12 A\"")
	}
	c := &q.circuit
	c.Phases = f.phases
	c.Run = parse(&r, "length", f.length, quantity.ParseLength)
	c.Path = parse(&r, "path", f.path, quantity.ParseLength)
	c.Breaker = parse(&r, "breaker", f.breaker, quantity.ParseCurrent)
	c.Grounding = parse(&r, "grounding", f.grounding, conductor.ParseSize)
	cable := parse(&r, "cable", f.cable, conductor.ParseCableType)
	r.surroundings(f, c)
	if err := r.err(); err != nil {
		return nil, err
	}
	var err error
	if q.region, err = load(f.region, f.amend); err != nil {
		return nil, err
	}
	q.assume(f, cable)
	return q, nil
}

// assume fills in what nobody said and the region has a usual answer to.
func (q *question) assume(f *flagged, cable conductor.CableType) {
	c := &q.circuit
	if f.cable == "" && len(q.region.Stock.Cables) > 0 {
		cable = q.region.Stock.Cables[0].Type
		q.note("No cable was named: the conductors are taken as %s, %s, rated %s.", cable.Material, cable.Construction, cable.Rating)
	}
	if cable.Name != "" {
		*c = c.OfCable(cable)
	}
	for _, system := range q.region.Wiring.Systems {
		if f.volts == "" && c.Volts == 0 && system.Lines >= c.Phases {
			c.Volts = system.Volts
			if c.Phases == 3 {
				c.Volts = system.Between
			}
			q.note("No voltage was given: it is taken as %s, the usual one of the region.", c.Volts)
		}
	}
	if f.ambient != "" && c.Ambient == 0 {
		q.note("An ambient of freezing cannot be stated: it is taken as the base of the tables, which is warmer.")
	}
	if c.Run == 0 && c.Path == 0 && q.kind != longestRun {
		q.note("No length was given: voltage drop is left out.")
	}
}

// askJob takes the question from a job file.
func askJob(f *flagged, flags *flag.FlagSet, r *reader) (*question, error) {
	file := map[string]bool{"region": true, "judge": true, "largest-load": true, "longest-run": true, "least-for-drop": true, "load": true,
		"continuous": true, "other-load": true, "volts": true, "phases": true, "length": true, "path": true, "cable": true, "breaker": true, "grounding": true}
	flags.Visit(func(given *flag.Flag) {
		if file[given.Name] {
			r.fail(given.Name, "leave it out beside -job: the job file says it already")
		}
	})
	if f.feed == "" {
		r.fail("feed", "name the feed of the job")
	}
	q := &question{kind: judgeIt, feed: f.feed}
	surroundings := conductor.Circuit{}
	r.surroundings(f, &surroundings)
	if err := r.err(); err != nil {
		return nil, err
	}
	src, err := os.ReadFile(f.job)
	if err != nil {
		return nil, fmt.Errorf("size: %w", err)
	}
	parsed, err := job.Parse(f.job, src, &job.Options{Region: func(id string) (*rules.Region, error) { return load(id, f.amend) }})
	if err != nil {
		return nil, err
	}
	w, err := wiring.New(parsed.Wiring)
	if err != nil {
		return nil, err
	}
	q.region = parsed.Region
	return q, q.find(f, w, surroundings)
}

// find takes the circuit of the feed, in its surroundings.
func (q *question) find(f *flagged, w *wiring.Wiring, surroundings conductor.Circuit) error {
	var names []string
	for _, c := range w.Circuits() {
		if c.Feed.Name != f.feed {
			names = append(names, c.Feed.Name)
			continue
		}
		found, err := w.Question(c)
		if err != nil {
			return fmt.Errorf("%s: feed %q: %w", f.job, f.feed, err)
		}
		merged := surroundings
		merged.Load, merged.Volts, merged.Breaker, merged.Path, merged.Grounding = found.Load, found.Volts, found.Breaker, found.Path, found.Grounding
		merged.Material, merged.Construction, merged.Insulation, merged.Loop.Earth = found.Material, found.Construction, found.Insulation, found.Loop.Earth
		q.circuit, q.size = merged, c.Smallest
		q.note("The load is that of all its lights, all of it continuous: %s at unity power factor.", c.Power)
		if merged.Path == 0 {
			q.note("The length to no light is known: voltage drop is left out.")
		}
		for _, route := range c.Routes {
			if !route.Complete && merged.Path > 0 {
				q.note("The way to the light %q is not known whole; one longer than the farthest known would drop more.", route.Light.Name)
			}
		}
		if f.anew {
			q.kind, q.circuit.Breaker, q.circuit.Grounding = sizeIt, 0, conductor.Size{}
		}
		return nil
	}
	return fmt.Errorf("%s: no feed %q; its feeds are: %s", f.job, f.feed, strings.Join(names, ", "))
}

// load reads a region, amendments laid over it.
func load(id, amend string) (*rules.Region, error) {
	var overlays []rules.Overlay
	if amend != "" {
		text, err := os.ReadFile(amend)
		if err != nil {
			return nil, fmt.Errorf("size: %w", err)
		}
		overlays = append(overlays, rules.Overlay{Name: amend, Text: text})
	}
	return rules.Load(id, overlays...)
}

func regions() string {
	var ids []string
	for _, info := range rules.Regions() {
		ids = append(ids, info.ID)
	}
	return strings.Join(ids, ", ")
}

// reader reads flags and keeps what is wrong with them.
type reader struct{ problems []string }

func (r *reader) fail(name, format string, args ...any) {
	text := fmt.Sprintf(format, args...)
	if name != "" {
		text = "-" + name + ": " + text
	}
	r.problems = append(r.problems, "size: "+text)
}

func (r *reader) err() error {
	if len(r.problems) == 0 {
		return nil
	}
	return usageError{errors.New(strings.Join(r.problems, "\n"))}
}

// parse reads the flag's text, or returns the zero value of an empty one.
func parse[T any](r *reader, name, text string, read func(string) (T, error)) T {
	var zero T
	if text == "" {
		return zero
	}
	v, err := read(text)
	if err != nil {
		r.fail(name, "%v", err)
		return zero
	}
	return v
}

// kind reads what is asked; at most one flag says.
func (r *reader) kind(f *flagged, q *question) {
	var asked []string
	for _, k := range []struct {
		name, text string
		kind       kind
	}{{"judge", f.judge, judgeIt}, {"largest-load", f.largestLoad, largestLoad}, {"longest-run", f.longestRun, longestRun}} {
		if k.text != "" {
			asked = append(asked, "-"+k.name)
			q.kind, q.size = k.kind, parse(r, k.name, k.text, conductor.ParseSize)
		}
	}
	if f.leastForDrop {
		asked = append(asked, "-least-for-drop")
		q.kind = leastForDrop
	}
	if len(asked) > 1 {
		r.fail("", "%s are questions of their own; ask one at a time", strings.Join(asked, " and "))
	}
	if q.kind == judgeIt && f.breaker == "" {
		r.fail("breaker", "judging a circuit needs the rating of its overcurrent device")
	}
	if q.kind == leastForDrop && f.length == "" && f.path == "" {
		r.fail("length", "voltage drop needs a length")
	}
}

// load reads the load and the voltage it is taken at.
func (r *reader) load(f *flagged, c *conductor.Circuit) {
	c.Volts = parse(r, "volts", f.volts, quantity.ParseVoltage)
	c.PowerFactor = parse(r, "power-factor", f.powerFactor, quantity.ParseFactor)
	main := parse(r, "load", f.load, func(text string) (quantity.Current, error) { return r.current(f, c, text) })
	c.Load.Other = parse(r, "other-load", f.other, func(text string) (quantity.Current, error) { return r.current(f, c, text) })
	if f.continuous {
		c.Load.Continuous = main
	} else {
		c.Load.Other += main
	}
}

// current reads a current, or a power at the voltage given.
func (r *reader) current(f *flagged, c *conductor.Circuit, text string) (quantity.Current, error) {
	current, wrong := quantity.ParseCurrent(text)
	if wrong == nil {
		return current, nil
	}
	apparent, err := quantity.ParseApparentPower(text)
	if err != nil {
		power, err := quantity.ParsePower(text)
		if err != nil {
			return 0, wrong
		}
		factor := c.PowerFactor
		if factor == 0 {
			factor = quantity.Whole
		}
		if apparent, err = conductor.ApparentOf(power, factor); err != nil {
			return 0, err
		}
	}
	if c.Volts == 0 {
		return 0, fmt.Errorf("%q: a power needs -volts", text)
	}
	return conductor.CurrentOf(apparent, c.Volts, f.phases)
}

// surroundings reads what a job file does not say.
func (r *reader) surroundings(f *flagged, c *conductor.Circuit) {
	c.PowerFactor = parse(r, "power-factor", f.powerFactor, quantity.ParseFactor)
	c.Terminations = parse(r, "terminations", f.terminations, quantity.ParseTemperature)
	c.Ambient = parse(r, "ambient", f.ambient, quantity.ParseTemperature)
	c.Bundle = conductor.Bundle{Carrying: f.carrying, Sealed: f.sealed, Length: parse(r, "bundle-length", f.bundleLength, quantity.ParseLength)}
	c.Method = f.method
	c.Receptacles, c.LeastRating, c.LawOnly = f.receptacles, f.leastRating, f.lawOnly
	c.AtLeast = parse(r, "at-least", f.atLeast, conductor.ParseSize)
	c.DropMethod = parse(r, "drop-method", f.dropMethod, conductor.ParseDropMethod)
	c.Raceway = parse(r, "raceway", f.raceway, conductor.ParseRaceway)
	c.DropUse = f.use
	c.DropLimit = parse(r, "drop-limit", f.dropLimit, quantity.ParseRatio)
	c.Loop.External = parse(r, "loop-external", f.loopExternal, quantity.ParseResistance)
	c.Loop.Curve = f.loopCurve
	c.Location = f.location
}
