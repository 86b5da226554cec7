package main

import (
	"encoding/json"
	"fmt"
	"strings"

	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/trace/lines"
)

// take takes a line that says what was done or seen.
func (d *sorter) take(line string) error {
	if line[0] >= '0' && line[0] <= '9' {
		return d.reply(line)
	}
	if strings.HasPrefix(line, "{") {
		var e identify.Entry
		if err := json.Unmarshal([]byte(line), &e); err != nil {
			return err
		}
		return d.s.Enter(e)
	}
	words, err := lines.Split(line)
	if err != nil {
		return err
	}
	e, err := d.read(words)
	if err != nil {
		return err
	}
	return d.s.Enter(e)
}

// read returns the entry that words stand for.
func (d *sorter) read(words []lines.Word) (identify.Entry, error) {
	r := phrase{d: d, words: words}
	var e identify.Entry
	if len(words) > 0 && words[0].Text == "earlier" {
		e.Earlier = true
		r.i++
	}
	verb := r.next("what was done or seen")
	act := func(do identify.Do, box string) { e.Action = &identify.Action{Do: do, Box: box} }
	switch verb {
	case "same", "other":
		e.Of = identify.SameCable{A: r.next("a cable"), B: r.next("another cable"), Same: verb == "same"}
	case "goes", "misses":
		e.Of = identify.GoesTo{Cable: r.next("a cable"), Box: r.name("a box"), Does: verb == "goes"}
	case "obeys":
		e.Of = identify.Obeys{Control: r.next("a control"), Box: r.next("a box"), Does: r.one("yes", "no") == "yes"}
	case "found":
		e.Of = r.found()
	case "ohms":
		e.Of = r.ohms()
	case "volts":
		e.Of = r.volts()
	case "reference":
		e.Of = identify.Reference{Point: r.point(), Shown: r.one("shows", "nothing") == "shows"}
	case "see":
		r.one("trip")
		e.Of = identify.Tripped{}
	case "lock":
		r.one("out")
		act(identify.LockOut, "")
	case "prove":
		r.one("dead")
		act(identify.ProveDead, r.name("a box"))
	case "take":
		act(map[string]identify.Do{"off": identify.TakeOff, "apart": identify.TakeApart}[r.one("off", "apart")], r.name("a box"))
	case "part":
		r.one("ends")
		act(identify.PartEnds, r.name("a box"))
	case "leads":
		r.one("off")
		act(identify.TakeLeads, "")
	case "energize":
		act(identify.Energize, "")
	case "brittle":
		act(identify.FindBrittle, r.name("a box"))
	case "":
	default:
		r.fail("%q is no word with which a line begins; there are %s", verb, strings.Join(unknownWords(), ", "))
	}
	if e.Of != nil && r.peek() == "sure" {
		r.i++
		e.Confidence = r.sure()
	}
	if r.err == nil && r.i < len(words) {
		r.i++
		r.fail("%q is not expected there", words[r.i-1].Text)
	}
	if e.Earlier && e.Of == nil {
		r.fail("earlier goes with what was seen, not with what is done")
	}
	return e, r.err
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
