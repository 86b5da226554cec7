package main

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/trace/lines"
	"example.com/switchleg/switchnet/wiring"
)

// phrase reads the words of a line about open boxes. After an error the rest reads as
// nothing.
type phrase struct {
	d     *sorter
	words []lines.Word
	i     int
	err   error
}

// fail notes what is wrong with the word taken last.
func (r *phrase) fail(format string, args ...any) {
	if r.err != nil {
		return
	}
	column := 1
	if n := min(r.i, len(r.words)); n > 0 {
		column = r.words[n-1].Column
	}
	r.err = &lines.Error{Column: column, Detail: fmt.Sprintf(format+`; "help" shows how it is said`, args...)}
}

// peek returns the next word, empty if there is none.
func (r *phrase) peek() string {
	if r.i < len(r.words) {
		return r.words[r.i].Text
	}
	return ""
}

// rest joins the words up to one.
func (r *phrase) rest(to int) string {
	var out []string
	for ; r.i < to; r.i++ {
		out = append(out, r.words[r.i].Text)
	}
	return strings.Join(out, " ")
}

// next takes a word.
func (r *phrase) next(what string) string {
	w := r.peek()
	if w == "" {
		r.fail("%s is missing", what)
	}
	r.i++
	return w
}

// name takes a name at the end of what is said, which may have spaces and no quotes.
func (r *phrase) name(what string) string {
	first := r.next(what)
	end := len(r.words)
	for k := len(r.words) - 1; k >= r.i; k-- {
		if r.ends(k) {
			end = k
		}
	}
	if r.i < end {
		first += " " + r.rest(end)
	}
	return first
}

// ends reports whether a word ends a name: how sure somebody is comes next. In quotes it is a
// name.
func (r *phrase) ends(k int) bool { return r.words[k].Text == "sure" && !r.words[k].Quoted }

// one takes one of some words.
func (r *phrase) one(among ...string) string {
	w := r.next(strings.Join(among, " or "))
	if w != "" && !slices.Contains(among, w) {
		r.fail("%q should be %s", w, strings.Join(among, " or "))
	}
	return w
}

// sure takes how certain somebody is.
func (r *phrase) sure() quantity.Ratio {
	out, err := quantity.ParseRatio(r.rest(len(r.words)))
	if err != nil || out <= 0 || out > quantity.Whole {
		r.fail("how sure is said as a share above 0 %% and at most 100 %%, such as: sure 70%%")
	}
	return out
}

// point takes a point of a meter.
func (r *phrase) point() switchnet.Terminal {
	w := r.next("a point, BOX:CABLE.COLOUR, BOX:box.ground or reference,")
	if w == "reference" {
		return identify.Outside()
	}
	if t, ok := r.d.names.points[w]; ok {
		return t
	}
	if w == "" {
		return switchnet.Terminal{}
	}
	box, _, _ := strings.Cut(w, ":")
	if in := r.d.names.pointsIn(box, r.d.c); len(in) > 0 {
		r.fail("there is no point %q; in that box there are %s", w, listed(in))
	} else {
		r.fail("there is no point %q: write BOX:CABLE.COLOUR or BOX:box.ground, with an open box, which are %s; or reference", w, listed(r.d.names.open))
	}
	return switchnet.Terminal{}
}

// twoPoints takes two points that differ.
func (r *phrase) twoPoints() (a, b switchnet.Terminal) {
	a, b = r.point(), r.point()
	if r.err == nil && a == b {
		r.fail("%q is one point twice", pointed(a))
	}
	return a, b
}

// ties takes what is twisted together meanwhile: tied POINT POINT, several times.
func (r *phrase) ties() [][2]wiring.End {
	var out [][2]wiring.End
	end := func(t switchnet.Terminal) wiring.End {
		return wiring.End{Box: t.Place, Wire: wiring.Wire{Cable: t.Device, Conductor: t.Name}}
	}
	for r.err == nil && r.peek() == "tied" {
		r.i++
		a, b := r.twoPoints()
		for _, t := range []switchnet.Terminal{a, b} {
			if r.err == nil && !slices.Contains(r.d.c.Ends(), end(t)) {
				r.fail("%q is no insulated conductor; two of one box are twisted together", pointed(t))
			}
		}
		if r.err == nil && a.Place != b.Place {
			r.fail("%s and %s are in two boxes; two of one box are twisted together", pointed(a), pointed(b))
		}
		out = append(out, [2]wiring.End{end(a), end(b)})
	}
	return out
}

func (r *phrase) ohms() identify.Observation {
	a, b := r.twoPoints()
	o := identify.Continuity{Between: [2]switchnet.Terminal{a, b}}
	o.Found = map[string]trace.Path{"open": trace.Open, "load": trace.Through, "joined": trace.Joined}[r.one("open", "load", "joined")]
	o.Tied = r.ties()
	return o
}

func (r *phrase) volts() identify.Observation {
	var o identify.Reading
	o.Red, o.Black = r.twoPoints()
	voltage := func(what string) quantity.Voltage {
		text := r.next(what)
		if r.peek() == "V" {
			r.i++
			text += " V"
		}
		v, err := quantity.ParseVoltage(text)
		if text != "" && (err != nil || v < 0) {
			r.fail("%q is no voltage from 0 V on, such as 118V", text)
		}
		return v
	}
	if w := r.peek(); r.err == nil && w == "proximity" {
		r.i++
		r.fail("a proximity tester shows no volts and is evidence of nothing: treat it as live, and have it read with a tester that loads the circuit by a qualified person, or test dead")
	}
	o.Shows = voltage("what the meter showed, such as 118V,")
	// Nothing is taken for granted: on a tester that loads the circuit a zero is dead, on
	// another it is nothing.
	o.Meter = map[string]steady.MeterKind{"low": steady.LowImpedance, "high": steady.HighImpedance, "proximity": steady.Proximity}[r.one("low", "high", "proximity")]
	for r.err == nil {
		switch r.peek() {
		case "within":
			r.i++
			o.Tolerance = voltage("how far the meter may be off, such as 3V,")
		case "off":
			r.i++
			o.Off = append(o.Off, r.feed())
		default:
			o.Tied = r.ties()
			return o
		}
	}
	return o
}

// found takes what was seen in a box before it was disturbed: WIRE+WIRE for a splice,
// WIRE=DEVICE.TERMINAL for a screw, WIRE=capped.
func (r *phrase) found(earlier bool) identify.Observation {
	o := identify.InBox{Box: r.anyOf(r.next("an open box"), r.d.names.open, "there is no open box")}
	if r.err == nil && !earlier && r.d.isDisturbed(o.Box) {
		r.fail("somebody worked in %s since the lights last obeyed, so that what is joined there is no evidence: take it apart, only %s, and measure; or write earlier in front if it was seen before", quoted(o.Box), safely)
	}
	spliced := map[wiring.Wire]bool{}
	landed := map[wiring.Wire]bool{}
	for r.err == nil && r.i < len(r.words) && !r.ends(r.i) {
		w := r.next("")
		if left, screw, ok := strings.Cut(w, "="); ok {
			wire := r.wireIn(o.Box, left)
			if r.err == nil && (slices.Contains(o.Capped, wire) || screw == "capped" && (spliced[wire] || landed[wire])) {
				r.fail("%s is said to be capped, and to be joined too", wire)
			}
			if screw == "capped" {
				o.Capped = append(o.Capped, wire)
				continue
			}
			landed[wire] = true
			device, terminal := r.screwIn(o.Box, screw)
			o.Screws = append(o.Screws, identify.Screw{Device: device, Terminal: terminal, Wire: wire})
			continue
		}
		var group []wiring.Wire
		for _, part := range strings.Split(w, "+") {
			wire := r.wireIn(o.Box, part)
			switch {
			case r.err != nil:
			case slices.Contains(group, wire):
				r.fail("%s is joined with itself", wire)
			case spliced[wire]:
				r.fail("%s is in two splices; write one with all that it joins", wire)
			case slices.Contains(o.Capped, wire):
				r.fail("%s is said to be capped, and to be joined too", wire)
			}
			group = append(group, wire)
		}
		if len(group) < 2 {
			r.fail("%q says nothing of what it is joined with; write WIRE+WIRE, WIRE=DEVICE.TERMINAL or WIRE=capped", w)
		}
		for _, wire := range group {
			spliced[wire] = true
		}
		o.Spliced = append(o.Spliced, group)
	}
	if r.err == nil && len(o.Spliced)+len(o.Screws)+len(o.Capped) == 0 {
		r.fail("what was found in box %s is missing", quoted(o.Box))
	}
	return o
}
