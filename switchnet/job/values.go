package job

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/strict"
	"example.com/switchleg/switchnet/wiring"
)

// entry reads one entry of a list and notes which of its values cannot be used,
// so that nothing else is said of them.
type entry struct {
	r   *reader
	m   *strict.Map
	ref wiring.Ref // without field
}

// spoil notes that a key's value cannot be used.
func (e *entry) spoil(key string) {
	ref := e.ref
	ref.Field = key
	e.r.bad[ref] = true
	if key == "name" || key == "" {
		e.r.nameless[ref.List] = true
	}
}

// fail reports a value that cannot be used.
func (e *entry) fail(key string, n *strict.Node, report strict.Report) {
	n.Report(report)
	e.spoil(key)
}

// has reports whether the key is there.
func (e *entry) has(key string) bool { return e.m.Get(key) != nil }

// text returns the text of a key, "" if it is not there.
func (e *entry) text(key, what string) string {
	n := e.m.Get(key)
	if n == nil {
		return ""
	}
	s, ok := n.Text(what)
	if !ok {
		e.spoil(key)
	}
	return s
}

// need returns the text of a key that must be there.
func (e *entry) need(key, what string) string {
	if e.m.Need(key, what) == nil {
		e.spoil(key)
		return ""
	}
	return e.text(key, what)
}

// value returns what parse makes of a key's text, the zero value if it is not
// there.
func value[T any](e *entry, key, what string, parse func(string) (T, error)) T {
	var zero T
	n := e.m.Get(key)
	if n == nil {
		return zero
	}
	s, ok := n.Text(what)
	if !ok {
		e.spoil(key)
		return zero
	}
	v, err := parse(s)
	if err != nil {
		e.fail(key, n, complaint(err))
		return zero
	}
	return v
}

// positive returns what parse makes of a key's text, which must be more than
// nothing.
func positive[T ~int64](e *entry, key, what string, parse func(string) (T, error)) T {
	return value(e, key, what, func(s string) (T, error) {
		v, err := parse(s)
		if err == nil && v <= 0 {
			return 0, &wrong{found: fmt.Sprintf("%q is not above zero", s), expected: what}
		}
		return v, err
	})
}

// wrong is an error already split as a report is.
type wrong struct{ found, expected, fix string }

func (w *wrong) Error() string { return w.found }

// complaint makes a report of a parser's error.
func complaint(err error) strict.Report {
	var w *wrong
	if errors.As(err, &w) {
		return strict.Report{Found: w.found, Expected: w.expected, Fix: w.fix}
	}
	var q *quantity.ParseError
	if errors.As(err, &q) {
		expected := fmt.Sprintf("a number without a unit, such as %s", q.Example)
		if len(q.Accepted) > 0 {
			expected = fmt.Sprintf("a number and a unit (%s), such as %s", strings.Join(q.Accepted, ", "), q.Example)
		}
		between := " " // the problem goes on from the text, or names a part of it first
		if strings.HasPrefix(q.Problem, `"`) {
			between = ": "
		}
		return strict.Report{Found: fmt.Sprintf("%s %q%s%s", q.Quantity, q.Text, between, q.Problem), Expected: expected}
	}
	return strict.Report{Found: err.Error()}
}

// yes returns whether a key says yes; false if it is not there.
func (e *entry) yes(key string) bool {
	const what = "yes or no"
	return value(e, key, what, func(s string) (bool, error) {
		switch s {
		case "yes", "true":
			return true, nil
		case "no", "false":
			return false, nil
		}
		return false, &wrong{found: fmt.Sprintf("%q is neither yes nor no", s), expected: what}
	})
}

// count returns a whole number from 1 to most, 0 if it is not there.
func (e *entry) count(key string, least, most int) int {
	what := fmt.Sprintf("a whole number from %d to %d", least, most)
	return value(e, key, what, func(s string) (int, error) {
		n, err := strconv.Atoi(s)
		if err != nil || n < least || n > most || strconv.Itoa(n) != s {
			return 0, &wrong{found: fmt.Sprintf("%q does not fit", s), expected: what}
		}
		return n, nil
	})
}

// year returns a year, 0 if it is not there.
func (e *entry) year(key string) int { return e.count(key, 1880, 9999) }

// word returns the value whose word a key has, the zero value if it is not there.
func word[T any](e *entry, key, what string, words []string, values []T) T {
	var zero T
	n := e.m.Get(key)
	if n == nil {
		return zero
	}
	s, ok := n.OneOf(what, words...)
	if !ok {
		e.spoil(key)
		return zero
	}
	for i, w := range words {
		if w == s {
			return values[i]
		}
	}
	return zero
}

// list returns the values of a list, none if it is not there.
func (e *entry) list(key, what string) []*strict.Node {
	n := e.m.Get(key)
	if n == nil {
		return nil
	}
	if n.Kind() != strict.KindList && !n.Empty() {
		e.spoil(key)
	}
	return n.List(what)
}

// texts returns the texts of a list. A value that cannot be used is empty and
// noted under the key and its number.
func (e *entry) texts(key, lists, each string) []string {
	var out []string
	for i, n := range e.list(key, lists) {
		s, ok := n.Text(each)
		if !ok {
			e.spoil(fmt.Sprintf("%s %d", key, i))
		}
		out = append(out, s)
	}
	return out
}

// colours are the words for plain colours.
func colours() []string {
	var out []string
	for h := conductor.Hue(1); conductor.Plain(h).Valid(); h++ {
		out = append(out, h.String())
	}
	return out
}

const groundFix = "the grounding conductor goes by its colour too, bare or green"

// parseColour is conductor.ParseColour with a suggestion.
func parseColour(s string) (conductor.Colour, error) {
	c, err := conductor.ParseColour(s)
	if err != nil {
		known := colours()
		fix := strict.DidYouMean(s, known)
		if s == "ground" || s == "earth" {
			fix = groundFix
		}
		return c, &wrong{found: fmt.Sprintf("%q is not a colour", s),
			expected: strings.Join(known, ", ") + ", or two as in white/red", fix: fix}
	}
	return c, nil
}

// conductorWord returns the canonical word for a conductor, and the text itself
// where it is no colour: package wiring then says which there are.
func conductorWord(s string) string {
	if c, err := conductor.ParseColour(s); err == nil {
		return c.String()
	}
	return s
}

// cut splits CABLE.COLOUR or DEVICE.TERMINAL at its last dot.
func cut(s string) (before, after string, ok bool) {
	i := strings.LastIndexByte(s, '.')
	if i <= 0 || i == len(s)-1 {
		return "", "", false
	}
	return s[:i], s[i+1:], true
}

// parseWire reads CABLE.COLOUR.
func parseWire(s string) (wiring.Wire, error) {
	cable, colour, ok := cut(s)
	if !ok {
		return wiring.Wire{}, &wrong{found: fmt.Sprintf("%q is not a wire", s), expected: "CABLE.COLOUR, such as C4.red"}
	}
	return wiring.Wire{Cable: cable, Conductor: conductorWord(colour)}, nil
}
