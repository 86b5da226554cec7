package switchnet_test

import (
	"cmp"
	"errors"
	"strings"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
)

func ref(place, name string) switchnet.Ref { return switchnet.Ref{Place: place, Name: name} }

func term(place, device, name string) switchnet.Terminal {
	return switchnet.Terminal{Place: place, Device: device, Name: name}
}

// service is the supply that tests use.
func service() switchnet.Source {
	return switchnet.Source{Ref: ref("panel", "service"), System: switchnet.SplitPhase()}
}

// wired returns a builder that is right: breaker, switch, lamp.
func wired() *switchnet.Builder {
	var b switchnet.Builder
	src := service()
	b.Source(src)
	b.Device("panel", "7", switchnet.Breaker(1))
	b.Device("loft", "stair", switchnet.SinglePole())
	b.Load(switchnet.Load{Ref: ref("loft", "lamp")})
	b.Conductor("bus", src.Rail(switchnet.LineA), term("panel", "7", "line"))
	b.Conductor("C1 black", term("panel", "7", "load"), term("loft", "stair", "line"))
	b.Conductor("C2 black", term("loft", "stair", "load"), term("loft", "lamp", "hot"))
	b.Splice("loft", "neutral", src.Rail(switchnet.Neutral), term("loft", "lamp", "neutral"))
	return &b
}

// problemRows is one row for each mistake, with what Build says. A code has at
// least one row.
var problemRows = []struct {
	why  string
	code switchnet.Code
	make func(b *switchnet.Builder)
	want string
}{
	{"no answer names a thing without a name", switchnet.Unnamed,
		func(b *switchnet.Builder) { b.Device("yard", "", switchnet.SinglePole()) },
		`device at "yard" has no name`},
	{"nor a load", switchnet.Unnamed,
		func(b *switchnet.Builder) { b.Load(switchnet.Load{Ref: ref("yard", "")}) },
		`load at "yard" has no name`},
	{"nor a conductor", switchnet.Unnamed,
		func(b *switchnet.Builder) {
			b.Conductor("", term("loft", "stair", "line"), term("loft", "stair", "load"))
		},
		`conductor from "stair line at loft" to "stair load at loft" has no name`},
	{"nor a splice", switchnet.Unnamed,
		func(b *switchnet.Builder) { b.Splice("yard", "", term("loft", "stair", "line")) },
		`splice at "yard" has no name`},
	{"nor a point", switchnet.Unnamed,
		func(b *switchnet.Builder) { b.Point(term("yard", "cable", "")) },
		`point at "cable at yard" has no name`},
	{"nor a kind", switchnet.Unnamed,
		func(b *switchnet.Builder) {
			k := switchnet.SinglePole()
			k.Name = ""
			b.Device("yard", "flood", k)
		},
		`kind "" has no name; a kind needs one to be told from others`},
	{"two devices of one name cannot be told apart", switchnet.Duplicate,
		func(b *switchnet.Builder) { b.Device("loft", "stair", switchnet.ThreeWay()) },
		`"stair at loft" is declared 2 times; a device, a load and the source each need a name of their own in their place`},
	{"a load in the name of a device would share its terminals", switchnet.Duplicate,
		func(b *switchnet.Builder) { b.Load(switchnet.Load{Ref: ref("panel", "7")}) },
		`"7 at panel" is declared 2 times; a device, a load and the source each need a name of their own in their place`},
	{"a load inside a device takes a name too", switchnet.Duplicate,
		func(b *switchnet.Builder) {
			b.Device("yard", "flood", switchnet.PilotSinglePole())
			b.Device("yard", "flood pilot", switchnet.SinglePole())
		},
		`"flood pilot at yard" is declared 2 times; a device, a load and the source each need a name of their own in their place`},
	{"parallel conductors are two edges and need two names", switchnet.Duplicate,
		func(b *switchnet.Builder) {
			b.Conductor("bus", term("loft", "stair", "line"), term("loft", "stair", "load"))
		},
		`conductor "bus" is declared twice; parallel conductors need names of their own`},
	{"two splices of one name in one box", switchnet.Duplicate,
		func(b *switchnet.Builder) { b.Splice("loft", "neutral", term("loft", "lamp", "neutral")) },
		`splice "neutral at loft" is declared twice`},
	{"a point declared twice is one conductor end too few", switchnet.Duplicate,
		func(b *switchnet.Builder) {
			b.Point(term("yard", "cable", "white"), term("yard", "cable", "white"))
		},
		`terminal "cable white at yard" is declared twice`},
	{"a conductor to a device that is not there", switchnet.Unknown,
		func(b *switchnet.Builder) {
			b.Conductor("C9", term("yard", "bell", "line"), term("loft", "stair", "line"))
		},
		`conductor "C9" lands on "bell line at yard", and nothing called "bell at yard" is declared`},
	{"a terminal that the device does not have; say which it has", switchnet.Unknown,
		func(b *switchnet.Builder) {
			b.Conductor("C9", term("loft", "stair", "load"), term("loft", "lamp", "leg"))
		},
		`conductor "C9" lands on terminal "leg" of "lamp at loft", whose terminals are: hot, neutral`},
	{"a splice of a terminal that is not there", switchnet.Unknown,
		func(b *switchnet.Builder) { b.Splice("yard", "hot", term("panel", "service", "line C")) },
		`splice "hot at yard" lands on terminal "line C" of "service at panel", whose terminals are: ground, line A, line B, neutral`},
	{"a lamp plugged into a half that is not there", switchnet.Unknown,
		func(b *switchnet.Builder) {
			b.Device("loft", "outlet", switchnet.Receptacle())
			b.Load(switchnet.Load{Ref: ref("loft", "plugged"), On: "outlet", Ends: [2]string{"hot 3", "neutral 1"}})
		},
		`load "plugged at loft" lands on terminal "hot 3" of "outlet at loft", whose terminals are: hot 1, hot 2, neutral 1, neutral 2`},
	{"taking away what was never there is a slip of the pen", switchnet.Unknown,
		func(b *switchnet.Builder) { b.RemoveConductor("C7 red") },
		`conductor "C7 red" is to be removed and was never declared`},
	{"a kind that contradicts itself", switchnet.BadKind,
		func(b *switchnet.Builder) {
			k := switchnet.SinglePole()
			k.Name, k.Positions = "blank", nil
			b.Device("yard", "flood", k)
		},
		`kind "blank" has 0 positions; give it 1 to 255`},
	{"a kind with two terminals of one name is one mistake, however many devices are of it", switchnet.Duplicate,
		func(b *switchnet.Builder) {
			k := switchnet.SinglePole()
			k.Name, k.Terminals = "doubled", append(k.Terminals, "line")
			b.Device("yard", "first", k)
			b.Device("yard", "second", k)
		},
		`kind "doubled" has two terminals called "line"`},
	{"two kinds of one name, of which no answer could say which is meant", switchnet.BadKind,
		func(b *switchnet.Builder) {
			k := switchnet.ThreeWay()
			k.Name = "single-pole"
			b.Device("yard", "flood", k)
		},
		`device "flood at yard" is of a kind called "single-pole" that differs from another of that name; rename one`},
	{"two supplies are two nets", switchnet.BadSource,
		func(b *switchnet.Builder) {
			b.Source(switchnet.Source{Ref: ref("shore", "generator"), System: switchnet.SinglePhase230()})
		},
		`source "generator at shore" is a second supply; a net has one, and other supplies are other nets`},
	{"a conductor from a terminal to itself is a misprint", switchnet.BadConductor,
		func(b *switchnet.Builder) {
			b.Conductor("C9", term("loft", "stair", "line"), term("loft", "stair", "line"))
		},
		`conductor "C9" runs from "stair line at loft" to itself`},
	{"a splice of nothing", switchnet.BadSplice,
		func(b *switchnet.Builder) { b.Splice("yard", "spare") },
		`splice "spare at yard" joins nothing`},
	{"a splice that lists a terminal twice is a misprint for another", switchnet.BadSplice,
		func(b *switchnet.Builder) {
			b.Splice("yard", "hot", term("loft", "stair", "line"), term("loft", "stair", "line"))
		},
		`splice "hot at yard" joins "stair line at loft" twice`},
	{"a load with both ends in one place never lights", switchnet.BadLoad,
		func(b *switchnet.Builder) {
			b.Load(switchnet.Load{Ref: ref("yard", "flood"), Ends: [2]string{"hot", "hot"}})
		},
		`load "flood at yard" has both ends on "flood hot at yard"`},
	{"a rating is a size", switchnet.BadLoad,
		func(b *switchnet.Builder) { b.Load(switchnet.Load{Ref: ref("yard", "flood"), Rated: -1}) },
		`load "flood at yard" is rated for a negative voltage`},
}

func TestProblems(t *testing.T) {
	if _, err := wired().Build(); err != nil {
		t.Fatal(err)
	}
	for _, row := range problemRows {
		b := wired()
		row.make(b)
		checkProblems(t, b, row.why, row.code, row.want)
	}
	for _, row := range sourceRows {
		var b switchnet.Builder
		row.make(&b)
		checkProblems(t, &b, row.why, row.code, row.want)
	}
}

func checkProblems(t *testing.T, b *switchnet.Builder, why string, code switchnet.Code, want string) {
	t.Helper()
	net, err := b.Build()
	var all switchnet.Problems
	if net != nil || !errors.As(err, &all) {
		t.Errorf("%s: Build gives %v, %v", why, net, err)
		return
	}
	if len(all) != 1 || all[0].Error() != want || all[0].Code != code {
		t.Errorf("%s: got\n%v\nwant one problem, %v:\n%s", why, err, code, want)
	}
	var one *switchnet.Problem
	if !errors.As(err, &one) || one != all[0] {
		t.Errorf("%s: errors.As finds %v", why, one)
	}
}

// sourceRows are nets of nothing but a source, or not even that.
var sourceRows = []struct {
	why  string
	code switchnet.Code
	make func(b *switchnet.Builder)
	want string
}{
	{"without a supply nothing is live and nothing is safe to say", switchnet.MissingSource,
		func(*switchnet.Builder) {},
		`net has no source; declare the supply that feeds it`},
	{"a supply is named like everything else", switchnet.Unnamed,
		func(b *switchnet.Builder) {
			b.Source(switchnet.Source{Ref: ref("panel", ""), System: switchnet.SplitPhase()})
		},
		`source at "panel" has no name`},
	{"the zero system was never filled in", switchnet.BadSource,
		func(b *switchnet.Builder) { b.Source(switchnet.Source{Ref: ref("panel", "service")}) },
		`source "service at panel" has 0 lines; a supply has 1, 2 or 3`},
	{"no such system", switchnet.BadSource,
		func(b *switchnet.Builder) { system(b, 4, 120, 240) },
		`source "service at panel" has 4 lines; a supply has 1, 2 or 3`},
	{"a lit load would get nothing", switchnet.BadSource,
		func(b *switchnet.Builder) { system(b, 1, 0, 0) },
		`source "service at panel" has no voltage from line to neutral`},
	{"a load between the lines would get nothing", switchnet.BadSource,
		func(b *switchnet.Builder) { system(b, 2, 120, 0) },
		`source "service at panel" has several lines and no voltage between them`},
	{"between one line there is nothing", switchnet.BadSource,
		func(b *switchnet.Builder) { system(b, 1, 230, 400) },
		`source "service at panel" has one line and a voltage between lines`},
}

func system(b *switchnet.Builder, lines int, toNeutral, toLine quantity.Voltage) {
	b.Source(switchnet.Source{Ref: ref("panel", "service"), System: switchnet.System{
		Name: "test", Lines: lines, LineToNeutral: toNeutral * quantity.Volt, LineToLine: toLine * quantity.Volt}})
}

// TestEveryCodeHasARow keeps the tables whole when a code is added.
func TestEveryCodeHasARow(t *testing.T) {
	have := map[switchnet.Code]bool{
		switchnet.TooLarge: true, // TestLimits: a net of that size does not fit a test
	}
	for _, row := range problemRows {
		have[row.code] = true
	}
	for _, row := range sourceRows {
		have[row.code] = true
	}
	for _, row := range stateRows {
		have[row.code] = true
	}
	count := 0
	for c := switchnet.Code(1); ; c++ {
		if _, err := c.MarshalText(); err != nil {
			break
		}
		count++
		if !have[c] {
			t.Errorf("no row shows the code %v", c)
		}
	}
	if count != len(have) {
		t.Errorf("%d codes have rows, and there are %d", len(have), count)
	}
}

// TestAllProblemsAtOnce makes every mistake of the table in one net and wants
// every complaint, in the promised order. The first declared of two kinds, sources
// or devices stays what it is, so that one mistake does not hide the next.
func TestAllProblemsAtOnce(t *testing.T) {
	b := wired()
	var want []string
	for _, row := range problemRows {
		row.make(b)
		want = append(want, row.want)
	}
	_, err := b.Build()
	var all switchnet.Problems
	if !errors.As(err, &all) {
		t.Fatal(err)
	}
	for _, w := range want {
		if !strings.Contains(err.Error(), w) {
			t.Errorf("among all mistakes, none says %q", w)
		}
	}
	for i, p := range all[1:] {
		prev := all[i]
		if cmp.Or(cmp.Compare(prev.Subject, p.Subject), cmp.Compare(prev.Code, p.Code), cmp.Compare(prev.Detail, p.Detail)) > 0 {
			t.Errorf("%q stands before %q", prev, p)
		}
	}
	_, again := b.Build()
	if again.Error() != err.Error() {
		t.Errorf("building again gives other problems:\n%v\nthen\n%v", err, again)
	}
}
