package main

import (
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"strconv"
	"time"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/program"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/allstates"
)

// lamp is the light at the end of the chain.
var lamp = switchnet.Ref{Place: "ridge", Name: "light"}

// chain builds a plain chain: breaker, three-way, four-ways, three-way, lamp. Each
// device is turned by the seed: which traveler goes to which screw, and which side
// of a four-way faces the feed. Everything is declared in name order, which spares
// the builder from sorting.
func chain(places int, seed uint64) (*switchnet.Net, error) {
	rng := rand.New(rand.NewPCG(seed, 0))
	turn := func(a, b string) (string, string) {
		if rng.Uint64()&1 == 0 {
			return b, a
		}
		return a, b
	}
	var b switchnet.Builder
	source := switchnet.Source{Ref: switchnet.Ref{Place: "panel", Name: "a service"}, System: switchnet.SplitPhase()}
	breaker := switchnet.Ref{Place: "panel", Name: "breaker"}
	b.Source(source)
	b.Device(breaker.Place, breaker.Name, switchnet.Breaker(1))
	b.Load(switchnet.Load{Ref: lamp, Rated: 120 * quantity.Volt})
	at := func(i int) switchnet.Ref {
		digits := strconv.Itoa(i + 1)
		return switchnet.Ref{Place: "place " + "0000000"[:max(0, 7-len(digits))] + digits, Name: "aisle"}
	}
	b.Conductor("bus", source.Rail(switchnet.LineA), breaker.Terminal("line"))
	b.Conductor("hot", breaker.Terminal("load"), at(0).Terminal("common"))
	b.Conductor("leg", at(places-1).Terminal("common"), lamp.Terminal("hot"))
	b.Conductor("neutral", source.Rail(switchnet.Neutral), lamp.Terminal("neutral"))
	three, four := switchnet.ThreeWay(), switchnet.FourWay()
	var from [2]switchnet.Terminal
	for i := range places {
		sw := at(i)
		var in, on [2]string
		switch i {
		case 0, places - 1:
			b.Device(sw.Place, sw.Name, three)
			in[0], in[1] = turn("traveler 1", "traveler 2")
			on = in
		default:
			b.Device(sw.Place, sw.Name, four)
			feed, away := turn("pair 1 ", "pair 2 ")
			x, y := turn("first", "second")
			in = [2]string{feed + x, feed + y}
			x, y = turn("first", "second")
			on = [2]string{away + x, away + y}
		}
		if i > 0 {
			b.Conductor(sw.Place+" traveler 1", from[0], sw.Terminal(in[0]))
			b.Conductor(sw.Place+" traveler 2", from[1], sw.Terminal(in[1]))
		}
		from = [2]switchnet.Terminal{sw.Terminal(on[0]), sw.Terminal(on[1])}
	}
	return b.Build()
}

// chainReport is what the program says about a chain.
type chainReport struct {
	Places        int     `json:"places"`
	Seed          uint64  `json:"seed"`
	States        string  `json:"states"`
	Lit           string  `json:"lit"`
	Unlit         string  `json:"unlit"`
	Toggled       bool    `json:"toggled"`
	Shorted       bool    `json:"shorted"`
	WithoutEffect int     `json:"without_effect"`
	Seconds       seconds `json:"seconds"`
}

// seconds is what each step took.
type seconds struct {
	Build    float64 `json:"build"`
	Analyse  float64 `json:"analyse"`
	Toggle   float64 `json:"toggle"`
	Count    float64 `json:"count"`
	Effects  float64 `json:"effects"`
	Short    float64 `json:"short"`
	Together float64 `json:"together"`
}

func proveChain(ctx context.Context, f *flagged, out io.Writer) (found bool, err error) {
	r := chainReport{Places: f.places, Seed: f.seed}
	start := time.Now()
	last := start
	lap := func(into *float64) {
		now := time.Now()
		*into, last = now.Sub(last).Seconds(), now
	}
	net, err := chain(f.places, f.seed)
	if err != nil {
		return false, err
	}
	lap(&r.Seconds.Build)
	a, err := allstates.Analyze(ctx, net, &allstates.Options{Budget: f.budget})
	if err != nil {
		return false, err
	}
	l, err := a.Load(ctx, lamp)
	if err != nil {
		return false, err
	}
	lap(&r.Seconds.Analyse)
	toggling, err := l.Toggles()
	if err != nil {
		return false, err
	}
	all := len(toggling.Switches()) == f.places
	r.Toggled = toggling.Proven() && all
	lap(&r.Seconds.Toggle)
	r.States, r.Lit, r.Unlit = short(a.States()), short(l.Count(switchnet.Lit)), short(l.Count(switchnet.Unlit))
	lap(&r.Seconds.Count)
	for _, n := range l.WithoutEffect() {
		if n.Sign() > 0 {
			r.WithoutEffect++
		}
	}
	lap(&r.Seconds.Effects)
	shorts, err := a.Find(ctx, allstates.Shorted())
	if err != nil {
		return false, err
	}
	r.Shorted = !shorts.Empty()
	lap(&r.Seconds.Short)
	r.Seconds.Together = last.Sub(start).Seconds()
	found = !r.Toggled || r.Shorted
	if f.json {
		return found, program.WriteJSON(out, r)
	}
	return found, r.write(out)
}

func (r *chainReport) write(out io.Writer) error {
	p := &printer{w: out}
	p.line("A chain of %s places, each device turned by seed %d: %s states.", grouped(int64(r.Places)), r.Seed, r.States)
	if r.Toggled {
		p.line("Each of the %s switches toggles the light from every state.", grouped(int64(r.Places)))
	} else {
		p.line("Not every switch toggles the light from every state.")
	}
	p.line("The light is lit in %s states and unlit in %s.", r.Lit, r.Unlit)
	if r.WithoutEffect == 0 {
		p.line("No switch is without effect in any state.")
	} else {
		p.line("%s switches are without effect in some state.", grouped(int64(r.WithoutEffect)))
	}
	if r.Shorted {
		p.line("Some states are shorted.")
	} else {
		p.line("No state is shorted.")
	}
	s := r.Seconds
	p.line("")
	p.line("building the net          %9.2f ms", 1e3*s.Build)
	p.line("analysing and minimising  %9.2f ms", 1e3*s.Analyse)
	p.line("toggle proof              %9.2f ms", 1e3*s.Toggle)
	p.line("exact counts              %9.2f ms", 1e3*s.Count)
	p.line("effect of every switch    %9.2f ms", 1e3*s.Effects)
	p.line("no short anywhere         %9.2f ms", 1e3*s.Short)
	p.line("together                  %9.2f ms", 1e3*s.Together)
	return p.err
}

// printer remembers the first error.
type printer struct {
	w   io.Writer
	err error
}

func (p *printer) line(format string, args ...any) {
	if p.err == nil {
		_, p.err = fmt.Fprintf(p.w, format+"\n", args...)
	}
}
