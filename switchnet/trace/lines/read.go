package lines

import (
	"fmt"
	"strings"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/trace"
)

// MaxLine is how long a line may be, in bytes.
const MaxLine = 64 << 10

// Read returns what a line says; handles stand as in at where the line does not say how
// they stood. An error is an [*Error]. What a line says may still be refused by the
// session.
func (v *Vocabulary) Read(line string, at trace.Setting) (trace.Entry, error) {
	if len(line) > MaxLine {
		return trace.Entry{}, &Error{1, fmt.Sprintf("the line is longer than %d bytes", MaxLine)}
	}
	words, bad := split(line)
	if bad != nil {
		return trace.Entry{}, bad
	}
	if len(words) == 0 {
		return trace.Entry{}, &Error{1, "the line is empty"}
	}
	r := &reading{v: v, words: words, end: len(line) + 1, at: at}
	entry := trace.Entry{}
	if r.peek() == "earlier" {
		r.next()
		entry.Earlier = true
	}
	first := r.next()
	if a, ok := r.action(first.text); ok {
		if entry.Earlier {
			r.fail(words[0], `"earlier" stands before an observation, and not before what is done`)
		}
		entry.Action = &a
	} else if report, ok := r.report(first); ok {
		entry.Report = &report
	}
	if r.bad == nil && r.i < len(r.words) {
		r.fail(r.words[r.i], "%q is not expected here", r.words[r.i].text)
	}
	if r.bad != nil {
		return trace.Entry{}, r.bad
	}
	return entry, nil
}

// Verbs returns the words with which a line may begin, in the order of the package's
// documentation, "earlier" last.
func Verbs() []string {
	return []string{"see", "flip", "use", "ohms", "volts", "reference", "lock", "prove", "lift", "cap", "land", "leads", "energize", "brittle", "earlier"}
}

// ReadStand returns how handles stand and in which box the person is, as a line says
// that begins with "stand": the handles first, each SWITCH=POSITION, then "in" and the
// box. One of the two may be left out. An error is an [*Error].
func (v *Vocabulary) ReadStand(line string) (at trace.Setting, box string, err error) {
	words, bad := split(line)
	if bad != nil {
		return nil, "", bad
	}
	r := &reading{v: v, words: words, end: len(line) + 1}
	r.one("word for where handles stand", "stand")
	if r.bad == nil && r.i == len(r.words) {
		r.fail(token{column: r.end}, "after stand comes SWITCH=POSITION, or in and a box")
	}
	for r.bad == nil && r.peek() != "in" && r.i < len(r.words) {
		at = r.handle(at)
	}
	if r.bad == nil && r.peek() == "in" {
		r.next()
		box = r.box()
	}
	if r.bad == nil && r.i < len(r.words) {
		r.fail(r.words[r.i], "%q is not expected here", r.words[r.i].text)
	}
	if r.bad != nil {
		return nil, "", r.bad
	}
	return at, box, nil
}

// reading is a line being read. The first thing that is wrong stays.
type reading struct {
	v     *Vocabulary
	words []token
	i     int
	end   int // the column after the last word
	at    trace.Setting
	bad   error
}

func (r *reading) fail(at token, format string, args ...any) {
	if r.bad == nil {
		r.bad = &Error{at.column, fmt.Sprintf(format, args...)}
	}
}

// peek returns the next word, empty if there is none.
func (r *reading) peek() string {
	if r.i < len(r.words) {
		return r.words[r.i].text
	}
	return ""
}

func (r *reading) next() token {
	if r.i < len(r.words) {
		r.i++
		return r.words[r.i-1]
	}
	return token{column: r.end}
}

// take returns the next word, of which something has to be said.
func (r *reading) take(what string) token {
	if r.i >= len(r.words) {
		r.fail(token{column: r.end}, "%s is missing", what)
	}
	return r.next()
}

// one takes one of some words and returns its number.
func (r *reading) one(what string, words ...string) int {
	if r.i >= len(r.words) {
		r.fail(token{column: r.end}, "%s is missing; write %s", what, strings.Join(words, ", "))
	}
	t := r.next()
	for i, w := range words {
		if t.text == w {
			return i
		}
	}
	r.fail(t, "%q is no %s; write %s", t.text, what, strings.Join(words, ", "))
	return 0
}

func (r *reading) box() string {
	t := r.take("the box")
	b, err := r.v.Box(t.text)
	if err != nil {
		r.fail(t, "%v", err)
	}
	return b
}

func (r *reading) point() switchnet.Terminal {
	t := r.take("a point, BOX:DEVICE.TERMINAL or BOX:CABLE.COLOUR,")
	p, err := r.v.Point(t.text)
	if err != nil {
		r.fail(t, "%v", err)
	}
	return p
}

// action reads what is done, if the first word says so.
func (r *reading) action(verb string) (trace.Action, bool) {
	switch verb {
	case "lock":
		r.one("word after lock", "out")
		return trace.Action{Do: trace.LockOut}, true
	case "prove":
		r.one("word after prove", "dead")
		return trace.Action{Do: trace.ProveDead, Box: r.box()}, true
	case "lift":
		r.one("word after lift", "neutrals")
		return trace.Action{Do: trace.LiftNeutrals}, true
	case "cap":
		r.one("word after cap", "neutrals")
		return trace.Action{Do: trace.CapNeutrals}, true
	case "land":
		r.one("word after land", "neutrals")
		return trace.Action{Do: trace.LandNeutrals}, true
	case "leads":
		r.one("word after leads", "off")
		return trace.Action{Do: trace.TakeLeads}, true
	case "energize":
		return trace.Action{Do: trace.Energize}, true
	case "brittle":
		return trace.Action{Do: trace.FindBrittle, Box: r.box()}, true
	}
	return trace.Action{}, false
}

// tail is what may stand after an observation.
type tail struct {
	at     trace.Setting
	sure   quantity.Ratio
	lifted bool
	within quantity.Voltage
}

// ends are the words with which a tail begins.
func ends(word string) bool {
	return word == "" || word == "with" || word == "sure" || word == "lifted" || word == "within"
}

func (r *reading) tail(ohms, volts bool) tail {
	t := tail{at: r.at}
	said := map[string]bool{}
	for r.bad == nil && r.i < len(r.words) {
		w := r.next()
		if said[w.text] {
			r.fail(w, "%q is said twice", w.text)
		}
		said[w.text] = true
		switch {
		case w.text == "with":
			t.at = r.setting()
		case w.text == "sure":
			t.sure = quantityOf(r, "how sure, such as 80%", "%", quantity.ParseRatio)
			if r.bad == nil && (t.sure <= 0 || t.sure > quantity.Whole) {
				r.fail(w, "%s sure: it lies above 0 %% and at most at 100 %%", t.sure)
			}
		case w.text == "lifted" && ohms:
			t.lifted = true
		case w.text == "within" && volts:
			t.within = quantityOf(r, "the tolerance, such as 3V", "V", quantity.ParseVoltage)
		default:
			r.fail(w, "%q is not expected here; after the observation may stand: with, sure%s", w.text, map[bool]string{true: ", within"}[volts]+map[bool]string{true: ", lifted"}[ohms])
		}
	}
	return t
}

// quantityOf takes a number and its unit, which may stand apart.
func quantityOf[Q any](r *reading, what, unit string, parse func(string) (Q, error)) Q {
	t := r.take(what)
	text := t.text
	if r.peek() == unit {
		text += " " + r.next().text
	}
	q, err := parse(text)
	if err != nil {
		r.fail(t, "expected %s: %v", what, err)
	}
	return q
}

func (r *reading) setting() trace.Setting {
	if r.peek() == "any" {
		r.next()
		return trace.Setting{}
	}
	out := trace.Setting{}
	for r.bad == nil && !ends(r.peek()) {
		out = r.handle(out)
	}
	if len(out) == 0 {
		r.fail(token{column: r.end}, "after with comes SWITCH=POSITION, or any")
	}
	return out
}

// handle takes SWITCH=POSITION in addition to those before it.
func (r *reading) handle(to trace.Setting) trace.Setting {
	w := r.next()
	h, err := r.v.Handle(w.text)
	if err != nil {
		r.fail(w, "%v", err)
		return to
	}
	for _, o := range to {
		if o.Switch == h.Switch {
			r.fail(w, "%s is said twice", Ref(h.Switch))
		}
	}
	return append(to, h)
}

// report reads an observation.
func (r *reading) report(verb token) (trace.Report, bool) {
	var of trace.Observation
	var t tail
	switch verb.text {
	case "see":
		o := trace.Saw{}
		if r.peek() == "trip" {
			r.next()
			o.Tripped = true
		} else {
			o.Lights = r.seen()
		}
		t = r.tail(false, false)
		o.At = t.at
		of = o
	case "flip":
		w := r.take("the switch")
		s, err := r.v.Switch(w.text)
		if err != nil {
			r.fail(w, "%v", err)
		}
		changed := r.one("outcome of a flip", "nothing", "changes") == 1
		t = r.tail(false, false)
		of = trace.Flipped{From: t.at, Switch: s, Changed: changed}
	case "use":
		of = trace.InUse{Tripped: r.one("word after use", "holds", "trips") == 1}
		at := r.at
		r.at = nil
		t = r.tail(false, false)
		r.at = at
		if t.at != nil {
			r.fail(verb, "use says of all settings what the breaker did; leave out with")
		}
	case "ohms":
		o := trace.Continuity{Between: [2]switchnet.Terminal{r.point(), r.point()}}
		o.Found = trace.Path(r.one("finding of an ohmmeter", "open", "load", "joined")) + trace.Open
		t = r.tail(true, false)
		o.At, o.Lifted = t.at, t.lifted
		of = o
	case "volts":
		o := trace.Reading{Red: r.point(), Black: r.point()}
		o.Shows = quantityOf(r, "the volts, such as 118V", "V", quantity.ParseVoltage)
		// Nothing is taken for granted: on a tester that loads the circuit a zero is dead, on
		// another it is nothing.
		o.Meter = []steady.MeterKind{steady.LowImpedance, steady.HighImpedance, steady.Proximity}[r.one("meter", "low", "high", "proximity")]
		t = r.tail(false, true)
		o.At, o.Tolerance = t.at, t.within
		of = o
	case "reference":
		o := trace.Reference{Point: r.point()}
		o.Shown = r.one("outcome of a reference", "nothing", "shows") == 1
		t = r.tail(false, false)
		o.At = t.at
		of = o
	default:
		r.fail(verb, "%q is no word with which a line begins; lines begin with %s", verb.text, strings.Join(Verbs(), ", "))
		return trace.Report{}, false
	}
	return trace.Report{Of: of, Confidence: t.sure}, r.bad == nil
}

// glows is what a light may be seen to do, for errors.
const glows = "dark, lit, dim, half, flicker, bright"

// seen reads LIGHT=GLOW, once or more.
func (r *reading) seen() []trace.Seen {
	var out []trace.Seen
	for r.bad == nil && !ends(r.peek()) {
		w := r.next()
		seen, err := r.v.Seen(w.text)
		if err != nil {
			r.fail(w, "%v", err)
			break
		}
		for _, o := range out {
			if o.Light == seen.Light {
				r.fail(w, "%s is said twice", Ref(seen.Light))
			}
		}
		out = append(out, seen)
	}
	if len(out) == 0 {
		r.fail(token{column: r.end}, "after see comes LIGHT=GLOW, with a glow of %s; or trip", glows)
	}
	return out
}
