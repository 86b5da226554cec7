package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/trace"
)

// take takes a line that says what was done or seen.
func (d *sorter) take(line string, words []string, count func(int) error) error {
	if word := words[0]; word[0] >= '0' && word[0] <= '9' {
		return d.reply(line)
	}
	if words[0] == "{" || strings.HasPrefix(line, "{") {
		var e identify.Entry
		if err := json.Unmarshal([]byte(line), &e); err != nil {
			return err
		}
		return d.s.Enter(e)
	}
	var e identify.Entry
	if words[0] == "earlier" {
		e.Earlier = true
		if words = words[1:]; len(words) == 0 {
			return errors.New("earlier what?")
		}
	}
	n := len(words)
	act := func(do identify.Do, box string) { e.Action = &identify.Action{Do: do, Box: box} }
	rest := func(from int) string { return strings.Join(words[min(from, n):], " ") }
	switch {
	case words[0] == "same" && n == 3, words[0] == "other" && n == 3:
		e.Of = identify.SameCable{A: words[1], B: words[2], Same: words[0] == "same"}
	case words[0] == "goes" && n >= 3, words[0] == "misses" && n >= 3:
		e.Of = identify.GoesTo{Cable: words[1], Box: rest(2), Does: words[0] == "goes"}
	case words[0] == "obeys" && n == 4 && (words[3] == "yes" || words[3] == "no"):
		e.Of = identify.Obeys{Control: words[1], Box: words[2], Does: words[3] == "yes"}
	case words[0] == "lock" && rest(1) == "out":
		act(identify.LockOut, "")
	case words[0] == "prove" && n > 2 && words[1] == "dead":
		act(identify.ProveDead, rest(2))
	case words[0] == "take" && n > 2 && words[1] == "off":
		act(identify.TakeOff, rest(2))
	case words[0] == "take" && n > 2 && words[1] == "apart":
		act(identify.TakeApart, rest(2))
	case words[0] == "energize" && n == 1:
		act(identify.Energize, "")
	case words[0] == "brittle" && n > 1:
		act(identify.FindBrittle, rest(1))
	case slices.Contains(unknownWords(), words[0]):
		return fmt.Errorf("%q is not how that is said; \"help\" shows how", line)
	default:
		return fmt.Errorf("%q is no word with which a line begins; there are %s", words[0], strings.Join(unknownWords(), ", "))
	}
	return d.s.Enter(e)
}

// reply takes the answer to the test that was proposed.
func (d *sorter) reply(line string) error {
	r, _, err := readReply(line)
	if err != nil {
		return err
	}
	if d.advice == nil || d.advice.Status != trace.Searching {
		return errNothingProposed
	}
	if r.number == 0 {
		for _, a := range d.answers {
			if read, ok := a.Of.(identify.Reading); ok {
				read.Shows = r.volts
				return d.s.Answer(d.advice.Test, read, r.sure)
			}
		}
		return errNoReading
	}
	if r.number > len(d.answers) {
		return fmt.Errorf("there are answers 1 to %d", len(d.answers))
	}
	return d.s.Answer(d.advice.Test, d.answers[r.number-1].Of, r.sure)
}
