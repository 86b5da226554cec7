package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/program"
	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/trace/lines"
	"example.com/switchleg/switchnet/wiring"
)

// take takes a line that says what was done or seen, or answers the test that was
// proposed.
func (d *sorter) take(line string) error {
	if strings.HasPrefix(line, "{") {
		return d.enter(line)
	}
	words, err := lines.Split(line)
	if err != nil {
		return err
	}
	switch first := words[0].Text; {
	case first == "":
	case first[0] >= '0' && first[0] <= '9', slices.Contains(replyWords(), first):
		return d.reply(words)
	}
	return d.enter(line)
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
		o := identify.SameCable{A: r.cable("a cable"), B: r.cable("another cable"), Same: verb == "same"}
		if r.err == nil && o.A == o.B {
			r.fail("%q is named twice; two names may turn out to be one cable", o.A)
		}
		e.Of = o
	case "goes", "misses":
		e.Of = identify.GoesTo{Cable: r.cable("a cable"), Box: r.box(), Does: verb == "goes"}
	case "obeys":
		c := r.control()
		e.Of = identify.Obeys{Control: c.Name, Box: r.place(c), Does: r.one("yes", "no") == "yes"}
	case "found":
		e.Of = r.found(e.Earlier)
	case "ohms":
		e.Of = r.ohms()
	case "volts":
		e.Of = r.volts()
	case "reference":
		o := identify.Reference{Point: r.point()}
		if r.err == nil && slices.Contains(d.c.Ends(), wiring.End{Box: o.Point.Place, Wire: wiring.Wire{Cable: o.Point.Device, Conductor: o.Point.Name}}) {
			r.fail("%s is a conductor whose function is sought; a reference is a bare or green conductor, BOX:box.ground of a metal box, or the word reference", pointed(o.Point))
		}
		o.Shown = r.one("shows", "nothing") == "shows"
		e.Of = o
	case "see":
		r.one("trip")
		e.Of = identify.Tripped{}
	case "lock":
		r.one("out")
		act(identify.LockOut, "")
	case "prove":
		r.one("dead")
		act(identify.ProveDead, r.openBox())
	case "take":
		act(map[string]identify.Do{"off": identify.TakeOff, "apart": identify.TakeApart}[r.one("off", "apart")], r.openBox())
	case "part":
		r.one("ends")
		act(identify.PartEnds, r.openBox())
	case "leads":
		r.one("off")
		act(identify.TakeLeads, "")
	case "energize":
		act(identify.Energize, "")
	case "brittle":
		act(identify.FindBrittle, r.openBox())
	case "":
		r.fail("this says nothing")
	default:
		if near := program.Suggest(verb, unknownWords()); near != "" && near != verb {
			r.fail("%q is no word with which a line begins; did you mean %s?", verb, near)
			break
		}
		r.fail("%q is no word with which a line begins; there are %s", verb, strings.Join(unknownWords(), ", "))
	}
	if e.Of != nil && r.peek() == "sure" {
		r.i++
		e.Confidence = r.sure()
	}
	if err := r.end(); err != nil {
		return e, err
	}
	if e.Earlier && e.Of == nil {
		r.fail("earlier goes with what was seen, not with what is done")
	}
	return e, r.err
}

// replyWords answer a question and an ohmmeter without a number.
func replyWords() []string { return []string{"yes", "no", "open", "load", "joined"} }

// reply takes the answer to the test that was proposed: a number of the list, a word of
// it, or the volts that were read; and how sure that is.
func (d *sorter) reply(words []lines.Word) error {
	r := phrase{d: d, words: words}
	first := r.next("")
	if r.peek() == "V" {
		r.i++
		first += " V"
	}
	of, err := d.answer(first)
	if err != nil {
		return &lines.Error{Column: words[0].Column, Detail: err.Error()}
	}
	sure := quantity.Ratio(0)
	if r.peek() == "sure" {
		r.i++
		sure = r.sure()
	}
	if err := r.end(); err != nil {
		return err
	}
	if d.advice.Test.Kind == identify.AskObeys {
		return plain(d.s.Enter(answered(of, sure)))
	}
	return plain(d.s.Answer(d.advice.Test, of, sure))
}

// answered returns an answer as it is noted by itself. What is asked of whoever uses the
// lights was before any box was opened: nobody energizes anything to answer it.
func answered(of identify.Observation, sure quantity.Ratio) identify.Entry {
	_, asked := of.(identify.Obeys)
	return identify.Entry{Of: of, Confidence: sure, Earlier: asked}
}

// answer returns the answer that a word stands for.
func (d *sorter) answer(word string) (identify.Observation, error) {
	if d.advice == nil || d.advice.Status != trace.Searching {
		return nil, errNothingProposed
	}
	number, err := strconv.Atoi(word)
	switch {
	case strings.HasSuffix(word, "V"):
		v, err := quantity.ParseVoltage(word)
		if err != nil {
			return nil, fmt.Errorf("%q is no voltage, such as 118V", word)
		}
		for _, a := range d.answers {
			if read, ok := a.Of.(identify.Reading); ok {
				read.Shows = v
				return read, nil
			}
		}
		return nil, errNoReading
	case slices.Contains(replyWords(), word):
		for _, a := range d.answers {
			if replyWord(a.Of) == word {
				return a.Of, nil
			}
		}
		return nil, fmt.Errorf("%q is no answer to the test that was proposed; there are answers 1 to %d", word, len(d.answers))
	case err != nil:
		return nil, fmt.Errorf(`%q is no answer; write the number of one, or volts such as 118V, and "sure 70%%" after it if you are not certain`, word)
	case number >= 1 && number <= len(d.answers):
		return d.answers[number-1].Of, nil
	case d.advice.Test.Kind == identify.LiveReading:
		return nil, fmt.Errorf("there are answers 1 to %d; if that is what the tester showed write %dV", len(d.answers), number)
	}
	return nil, fmt.Errorf("there are answers 1 to %d", len(d.answers))
}

// replyWord returns the word that says an answer without its number, if there is one.
func replyWord(of identify.Observation) string {
	switch o := of.(type) {
	case identify.Obeys:
		return map[bool]string{true: "yes", false: "no"}[o.Does]
	case identify.Continuity:
		return map[trace.Path]string{trace.Open: "open", trace.Through: "load", trace.Joined: "joined"}[o.Found]
	}
	return ""
}
