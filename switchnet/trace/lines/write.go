package lines

import (
	"fmt"
	"strings"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/trace"
)

// Write returns an entry as one line, without a line break, that says all handles it
// knows: Read gives the same entry whatever handles stand as. An entry that is neither
// an action nor a report, or that has a part unset, is an error.
func Write(e trace.Entry) (string, error) {
	var b strings.Builder
	switch {
	case e.Action != nil && e.Report == nil && !e.Earlier:
		verb := doLine(e.Action.Do)
		if verb == "" {
			return "", fmt.Errorf("lines: %v is nothing that is done", e.Action.Do)
		}
		b.WriteString(verb)
		if e.Action.Do == trace.ProveDead || e.Action.Do == trace.FindBrittle {
			b.WriteString(" " + quote(e.Action.Box))
		}
		return b.String(), nil
	case e.Report == nil || e.Action != nil:
		return "", fmt.Errorf("lines: an entry is one of an action and a report")
	}
	if e.Earlier {
		b.WriteString("earlier ")
	}
	if err := observation(&b, e.Report.Of); err != nil {
		return "", err
	}
	if c := e.Report.Confidence; c != 0 && c != quantity.Whole {
		b.WriteString(" sure " + tight(c.String()))
	}
	return b.String(), nil
}

func doLine(d trace.Do) string {
	switch d {
	case trace.LockOut:
		return "lock out"
	case trace.ProveDead:
		return "prove dead"
	case trace.LiftNeutrals:
		return "lift neutrals"
	case trace.CapNeutrals:
		return "cap neutrals"
	case trace.LandNeutrals:
		return "land neutrals"
	case trace.TakeLeads:
		return "leads off"
	case trace.Energize:
		return "energize"
	case trace.FindBrittle:
		return "brittle"
	}
	return ""
}

// tight writes a quantity as one word.
func tight(s string) string { return strings.ReplaceAll(s, " ", "") }

// WriteStand returns the line that ReadStand reads.
func WriteStand(at trace.Setting, box string) string {
	var b strings.Builder
	b.WriteString("stand")
	handles(&b, at)
	if box != "" {
		b.WriteString(" in " + quote(box))
	}
	return b.String()
}

func with(b *strings.Builder, at trace.Setting) {
	if len(at) == 0 {
		b.WriteString(" with any")
		return
	}
	b.WriteString(" with")
	handles(b, at)
}

func handles(b *strings.Builder, at trace.Setting) {
	for _, h := range at {
		b.WriteString(" " + WriteHandle(h))
	}
}

// WriteHandle returns SWITCH=POSITION as one word of a line.
func WriteHandle(h trace.Handle) string { return quote(Ref(h.Switch)) + "=" + quote(h.Position) }

func observation(b *strings.Builder, o trace.Observation) error {
	switch o := o.(type) {
	case trace.Saw:
		b.WriteString("see")
		if o.Tripped {
			b.WriteString(" trip")
		} else {
			for _, l := range o.Lights {
				if _, err := l.Glow.MarshalText(); err != nil {
					return fmt.Errorf("lines: %w", err)
				}
				b.WriteString(" " + quote(Ref(l.Light)) + "=" + l.Glow.String())
			}
		}
		with(b, o.At)
	case trace.Flipped:
		b.WriteString("flip " + quote(Ref(o.Switch)) + map[bool]string{false: " nothing", true: " changes"}[o.Changed])
		with(b, o.From)
	case trace.InUse:
		b.WriteString("use" + map[bool]string{false: " holds", true: " trips"}[o.Tripped])
	case trace.Continuity:
		found, ok := map[trace.Path]string{trace.Open: " open", trace.Through: " load", trace.Joined: " joined"}[o.Found]
		if !ok {
			return fmt.Errorf("lines: %v is nothing that an ohmmeter finds", o.Found)
		}
		b.WriteString("ohms " + quote(Point(o.Between[0])) + " " + quote(Point(o.Between[1])) + found)
		if o.Lifted {
			b.WriteString(" lifted")
		}
		with(b, o.At)
	case trace.Reading:
		meter, ok := map[steady.MeterKind]string{steady.LowImpedance: " low", steady.HighImpedance: " high", steady.Proximity: " proximity"}[o.Meter]
		if !ok {
			return fmt.Errorf("lines: %v is no meter", o.Meter)
		}
		b.WriteString("volts " + quote(Point(o.Red)) + " " + quote(Point(o.Black)) + " " + tight(o.Shows.String()) + meter)
		if o.Tolerance != 0 {
			b.WriteString(" within " + tight(o.Tolerance.String()))
		}
		with(b, o.At)
	case trace.Reference:
		b.WriteString("reference " + quote(Point(o.Point)) + map[bool]string{false: " nothing", true: " shows"}[o.Shown])
		with(b, o.At)
	default:
		return fmt.Errorf("lines: %T is no observation that a line can say", o)
	}
	return nil
}
