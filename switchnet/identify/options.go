package identify

import (
	"fmt"

	"example.com/switchleg/switchnet/trace"
)

// A Control says which places switch which lights.
type Control struct {
	Name   string
	Lights []string // names of lights; one at least
	Places []string // names of boxes with a switch of it; one at least
	// Feed names the feed it is on; empty means that it may be any.
	Feed string
}

// Limits that stand in where none are given.
const (
	// DefaultLimit is how many possibilities a case may have.
	DefaultLimit = 200_000
	// DefaultLayouts is how many ways to run the cables a case may have.
	DefaultLayouts = 50_000
	// DefaultUnusual is how many unusual things a possibility may have at once, if that
	// keeps the case within its limits.
	DefaultUnusual = 2
)

// Options say what a case is made of. The zero value, or nil, means the defaults.
type Options struct {
	// Controls say which places switch which lights; nil means one control, called after
	// the devices if all have one name and "lights" otherwise, with all lights and all
	// boxes that have a switch.
	Controls []Control
	// Open lists the boxes that stand open; nil means all but panels in which a cable
	// begins or ends whose other end is unknown, and those with a switch and a cable. In
	// all others nobody sees what is joined to what.
	Open []string
	// Parted lists open boxes in which every conductor was taken apart and capped before
	// anybody noted what was joined to what; Released those from which the devices were
	// taken and the splices left. Whatever the wiring says is landed or spliced in any
	// box counts as seen before.
	Parted, Released []string
	// Disturbed lists boxes in which somebody worked since the lights last obeyed: what
	// is landed and spliced there says nothing, and, until it is apart, nothing does that may
	// lead through it (Session.Dropped).
	Disturbed []string
	// FeedAt lists for a feed the boxes in which it may come in besides a cable of its
	// own. One that is not listed may come into the boxes that are not open to which the
	// wiring has a cable from its panel, if no other feed is there, or else into any that is
	// not open.
	FeedAt map[string][]string
	// Schemes are those to reckon with; nil means all.
	Schemes []Scheme
	// Priors say how likely things are before anything is known; nil means DefaultPriors.
	Priors *Priors
	// Effort says what each thing to do costs; nil means trace.DefaultEffort.
	Effort *trace.Effort
	// NoLive leaves out readings with the circuit energized.
	NoLive bool
	// Limit is how many possibilities the case may have, and Layouts how many ways to
	// run the cables; 0 means DefaultLimit and DefaultLayouts.
	Limit, Layouts int
	// Unusual is how many unusual things a possibility may have at once; below zero means
	// none, and 0 as many as keep the case within its limits, at most DefaultUnusual:
	// Case.Unusual says how many. Unusual is every cable that goes onward or ends nowhere or comes
	// from a feed that serves nothing here, every run in two cables, every loose conductor
	// that changes its colour, every scheme but a chain, every neutral that is borrowed,
	// comes another way or is shared by two feeds, every neutral that is kept apart from
	// another within one cable or is joined to another again, and every run of a constant
	// hot beyond need.
	Unusual int
}

// Priors say how likely things are before anything is known, in relative numbers: 100 is
// what is ordinary. They are judgement and not measurement.
type Priors struct {
	// Schemes of controls; one that is not listed has 1.
	Schemes map[Scheme]int
	// Colours say, for the word of a colour, how likely each function is on it. A colour
	// that is not listed, and a function that is not listed for one, has 10. In a twin of
	// red and black, the colours of old, red counts as black and black as white.
	Colours map[string]map[Function]int
	// Lie is how likely it is, in percent, that the colours of the whole job say nothing:
	// whoever did not mind them once did not mind them at all.
	Lie int
	// Onward is the weight of a cable that goes on to what is not of the job, and
	// Abandoned of one that ends nowhere.
	Onward, Abandoned int
	// NeutralOn and HotOn are the weights of a neutral or a constant hot that goes along
	// one run farther than anything needs it.
	NeutralOn, HotOn int
	// Borrowed is the weight of a light whose neutral is that of another feed, and
	// OtherWay of one whose neutral comes by a way that passes none of the boxes.
	Borrowed, OtherWay int
	// Shared is the weight of a feed whose neutral is that of another, as of a multiwire
	// branch circuit, and SharedOneLine of one that is on one line with another of them, so
	// that the neutral carries the sum. Apart is the weight of each neutral that is kept
	// apart from another of its feed on their way through a run, and Tied of each that is
	// joined to it again, or to the neutral of another feed.
	Shared, SharedOneLine, Apart, Tied int
	// Split is the weight of a run that lies in two cables, and Respliced of a loose
	// conductor that has another colour at its other end.
	Split, Respliced int
}

// DefaultPriors returns the weights that stand in where none are given.
func DefaultPriors() Priors {
	hot := map[Function]int{ConstantHot: 100, SwitchLeg: 100, Traveler: 100, CommonLink: 60, Return: 40, Neutral: 1, Spare: 20}
	white := map[Function]int{Neutral: 200, ConstantHot: 40, Traveler: 30, Return: 60, CommonLink: 20, Spare: 20, SwitchLeg: 5}
	red := map[Function]int{ConstantHot: 20, SwitchLeg: 60, Traveler: 120, CommonLink: 60, Return: 40, Neutral: 1, Spare: 30}
	return Priors{
		Schemes: map[Scheme]int{Chain: 100, JoinedCommons: 10, OnePlace: 5, SwitchedNeutral: 2, HotNeutralThrows: 2},
		Colours: map[string]map[Function]int{
			"white": white, "grey": white, "blue": white, "black": hot, "brown": hot, "red": red, "yellow": red,
		},
		Lie: 20, Onward: 30, Abandoned: 3, NeutralOn: 50, HotOn: 10, Borrowed: 3, OtherWay: 10, Shared: 10, SharedOneLine: 20, Apart: 50, Tied: 5, Split: 5, Respliced: 5,
	}
}

// check names every weight that is below zero.
func (p *Priors) check(errs *trace.Errors) {
	if p.Lie > 100 {
		add(errs, "Options.Priors", "say that colours lie at %d %%; that is more than all", p.Lie)
	}
	for _, v := range []int{p.Lie, p.Onward, p.Abandoned, p.NeutralOn, p.HotOn, p.Borrowed, p.OtherWay, p.Shared, p.SharedOneLine, p.Apart, p.Tied, p.Split, p.Respliced} {
		if v < 0 {
			add(errs, "Options.Priors", "has a weight of %d; a weight is not below zero", v)
		}
	}
	for _, s := range Schemes() {
		if p.Schemes[s] < 0 {
			add(errs, "Options.Priors", "gives %v a weight of %d; a weight is not below zero", s, p.Schemes[s])
		}
	}
}

func (p *Priors) scheme(s Scheme) float64 {
	if w, ok := p.Schemes[s]; ok {
		return float64(w) / 100
	}
	return 0.01
}

func (p *Priors) colour(word string, f Function) float64 {
	if w, ok := p.Colours[word][f]; ok {
		return float64(w) / 100
	}
	return 0.1
}

func part(w int) float64 { return float64(w) / 100 }

func add(errs *trace.Errors, where, format string, args ...any) {
	*errs = append(*errs, &trace.Error{Where: where, Detail: fmt.Sprintf(format, args...)})
}

func orNil(errs trace.Errors) error {
	if len(errs) == 0 {
		return nil
	}
	return errs
}
