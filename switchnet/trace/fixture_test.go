package trace_test

import (
	"context"
	"fmt"
	"reflect"
	"sync"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/internal/demo"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// made keeps what tests have in common, for it takes long to make and never changes.
var made struct {
	sync.Mutex
	regions map[string]*rules.Region
	wirings map[string]*wiring.Wiring // by the text of the job
	cases   map[caseKey]*trace.Case
}

// caseKey tells cases apart that have no options but these.
type caseKey struct {
	w               *wiring.Wiring
	noDead, noLive  bool
	filament, plain bool
}

// region returns a region that comes with package rules.
func region(tb failer, id string) *rules.Region {
	tb.Helper()
	made.Lock()
	defer made.Unlock()
	r, err := regionOf(id)
	if err != nil {
		tb.Fatal(err)
	}
	return r
}

// regionOf returns it too, for who holds made.
func regionOf(id string) (*rules.Region, error) {
	if r := made.regions[id]; r != nil {
		return r, nil
	}
	r, err := rules.Load(id)
	if err != nil {
		return nil, err
	}
	if made.regions == nil {
		made.regions = map[string]*rules.Region{}
	}
	made.regions[id] = r
	return r, nil
}

// read returns the wiring of a job file.
func read(tb testing.TB, name string, src []byte) *wiring.Wiring {
	tb.Helper()
	made.Lock()
	defer made.Unlock()
	if w := made.wirings[string(src)]; w != nil {
		return w
	}
	f, err := job.Parse(name, src, &job.Options{Region: regionOf})
	if err != nil {
		tb.Fatal(err)
	}
	w, err := wiring.New(f.Wiring)
	if err != nil {
		tb.Fatal(err)
	}
	if made.wirings == nil {
		made.wirings = map[string]*wiring.Wiring{}
	}
	made.wirings[string(src)] = w
	return w
}

func shed(tb testing.TB) *wiring.Wiring {
	tb.Helper()
	return read(tb, demo.ShedWiredName, demo.ShedWired())
}

// chain returns a chain of places with the feed at one end and the light at the other.
func chain(tb testing.TB, places int) *wiring.Wiring {
	tb.Helper()
	src := "format: 1\ntitle: chain\nrules: us-2023\nfeeds:\n  - {name: circuit, box: panel, breaker: 15 A}\nboxes:\n  - {name: panel, kind: panel}\n"
	for i := 1; i <= places; i++ {
		src += fmt.Sprintf("  - {name: place-%d, kind: device}\n", i)
	}
	src += "  - {name: ceiling, kind: ceiling}\nlights:\n  - {name: lamp, box: ceiling, load: 18 W, volts: 120 V}\ncables:\n  - {name: C0, type: 14/2, from: panel, to: place-1, length: 20 ft}\n"
	for i := 1; i < places; i++ {
		src += fmt.Sprintf("  - {name: C%d, type: 14/3, from: place-%d, to: place-%d, length: 15 ft}\n", i, i, i+1)
	}
	src += fmt.Sprintf("  - {name: C%d, type: 14/2, from: place-%d, to: ceiling, length: 10 ft}\ndevices:\n", places, places)
	landings := "landings:\n  - {box: panel, device: circuit, terminal: hot, wire: C0.black}\n  - {box: panel, device: circuit, terminal: neutral, wire: C0.white}\n  - {box: panel, device: circuit, terminal: ground, wire: C0.bare}\n"
	splices := "splices:\n"
	land := func(i int, terminal, wire string) {
		landings += fmt.Sprintf("  - {box: place-%d, device: hall, terminal: %s, wire: %s}\n", i, terminal, wire)
	}
	for i := 1; i <= places; i++ {
		kind := "four-way"
		in, out := fmt.Sprintf("C%d", i-1), fmt.Sprintf("C%d", i)
		switch i {
		case 1:
			kind = "three-way"
			land(i, "common", in+".black")
			land(i, "traveler 1", out+".black")
			land(i, "traveler 2", out+".red")
		case places:
			kind = "three-way"
			land(i, "traveler 1", in+".black")
			land(i, "traveler 2", in+".red")
			land(i, "common", out+".black")
		default:
			land(i, "pair 1 first", in+".black")
			land(i, "pair 1 second", in+".red")
			land(i, "pair 2 first", out+".black")
			land(i, "pair 2 second", out+".red")
		}
		src += fmt.Sprintf("  - {name: hall, box: place-%d, kind: %s}\n", i, kind)
		splices += fmt.Sprintf("  - {box: place-%d, join: [%s.white, %s.white]}\n  - {box: place-%d, join: [%s.bare, %s.bare, hall.ground]}\n", i, in, out, i, in, out)
	}
	last := fmt.Sprintf("C%d", places)
	splices += fmt.Sprintf("  - {box: ceiling, join: [%s.black, lamp.hot]}\n  - {box: ceiling, join: [%s.white, lamp.neutral]}\n  - {box: ceiling, join: [%s.bare, lamp.ground]}\n", last, last, last)
	return read(tb, fmt.Sprintf("chain-%d.yaml", places), []byte(src+splices+landings))
}

// place returns a switch of a chain.
func place(i int) switchnet.Ref {
	return switchnet.Ref{Place: fmt.Sprintf("place-%d", i), Name: "hall"}
}

var lamp = switchnet.Ref{Place: "ceiling", Name: "lamp"}

func newCase(tb testing.TB, w *wiring.Wiring, opt *trace.Options) *trace.Case {
	tb.Helper()
	made.Lock()
	defer made.Unlock()
	key := caseKey{w: w, plain: true}
	if opt != nil {
		key.noDead, key.noLive, key.filament = opt.NoDead, opt.NoLive, len(opt.Filament) > 0
		rest := *opt
		rest.NoDead, rest.NoLive, rest.Filament = false, false, nil
		key.plain = len(opt.Filament) != 0 && len(opt.Filament) == len(w.Spec().Lights) || len(opt.Filament) == 0
		key.plain = key.plain && reflect.DeepEqual(rest, trace.Options{})
	}
	if c := made.cases[key]; c != nil && key.plain {
		return c
	}
	c, err := trace.New(context.Background(), w, opt)
	if err != nil {
		tb.Fatal(err)
	}
	if key.plain {
		if made.cases == nil {
			made.cases = map[caseKey]*trace.Case{}
		}
		made.cases[key] = c
	}
	return c
}

const sure = quantity.Whole
