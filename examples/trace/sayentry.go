package main

import (
	"encoding/json"
	"strings"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/trace/lines"
	"example.com/switchleg/switchnet/wiring"
)

// said writes an entry as a person types it; as JSON, which a line may be as well, where
// the words would not be read back as that entry.
func (d *sorter) said(e identify.Entry) (string, error) {
	text := strings.Join(spoken(e), " ")
	if split, err := lines.Split(text); err == nil {
		back, err := d.read(split)
		was, wrong := json.Marshal(e)
		is, failed := json.Marshal(back)
		if err == nil && wrong == nil && failed == nil && string(was) == string(is) {
			return text, nil
		}
	}
	out, err := json.Marshal(e)
	return string(out), err
}

// spoken returns the words of an entry, each as it is typed.
func spoken(e identify.Entry) []string {
	var out []string
	add := func(words ...string) { out = append(out, words...) }
	if e.Earlier {
		add("earlier")
	}
	yes := func(is bool, a, b string) string {
		if is {
			return a
		}
		return b
	}
	switch o := e.Of.(type) {
	case identify.SameCable:
		add(yes(o.Same, "same", "other"), quoted(o.A), quoted(o.B))
	case identify.GoesTo:
		add(yes(o.Does, "goes", "misses"), quoted(o.Cable), quoted(o.Box))
	case identify.Obeys:
		add("obeys", quoted(o.Control), quoted(o.Box), yes(o.Does, "yes", "no"))
	case identify.InBox:
		add("found", quoted(o.Box))
		for _, g := range o.Spliced {
			wires := make([]string, len(g))
			for i, w := range g {
				wires[i] = w.String()
			}
			add(quoted(strings.Join(wires, "+")))
		}
		for _, s := range o.Screws {
			add(quoted(s.Wire.String() + "=" + s.Device + "." + s.Terminal))
		}
		for _, w := range o.Capped {
			add(quoted(w.String() + "=capped"))
		}
	case identify.Continuity:
		add("ohms", pointed(o.Between[0]), pointed(o.Between[1]), map[trace.Path]string{trace.Open: "open", trace.Through: "load", trace.Joined: "joined"}[o.Found])
		add(tied(o.Tied)...)
	case identify.Reading:
		add("volts", pointed(o.Red), pointed(o.Black), volts(o.Shows))
		add(map[steady.MeterKind]string{steady.LowImpedance: "low", steady.HighImpedance: "high", steady.Proximity: "proximity"}[o.Meter])
		if o.Tolerance != 0 {
			add("within", volts(o.Tolerance))
		}
		for _, f := range o.Off {
			add("off", quoted(f))
		}
		add(tied(o.Tied)...)
	case identify.Reference:
		add("reference", pointed(o.Point), yes(o.Shown, "shows", "nothing"))
	case identify.Tripped:
		add("see", "trip")
	}
	if a := e.Action; a != nil {
		add(map[identify.Do]string{identify.LockOut: "lock out", identify.ProveDead: "prove dead", identify.TakeOff: "take off", identify.TakeApart: "take apart",
			identify.PartEnds: "part ends", identify.TakeLeads: "leads off", identify.Energize: "energize", identify.FindBrittle: "brittle"}[a.Do])
		if a.Box != "" {
			add(quoted(a.Box))
		}
	}
	if e.Confidence != 0 {
		add("sure", strings.ReplaceAll(e.Confidence.String(), " ", ""))
	}
	return out
}

// volts writes a voltage as one word.
func volts(v quantity.Voltage) string { return strings.ReplaceAll(v.String(), " ", "") }

// pointed writes a point of a meter.
func pointed(t switchnet.Terminal) string {
	if t == identify.Outside() {
		return "reference"
	}
	return quoted(lines.Point(t))
}

func tied(ties [][2]wiring.End) []string {
	var out []string
	for _, t := range ties {
		out = append(out, "tied")
		for _, end := range t {
			out = append(out, pointed(switchnet.Terminal{Place: end.Box, Device: end.Wire.Cable, Name: end.Wire.Conductor}))
		}
	}
	return out
}

// quoted writes a name as one word.
func quoted(name string) string { return lines.Quote(name) }
