package main

import (
	"context"
	"fmt"
	"io"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/cautions"
	"example.com/switchleg/internal/program"
	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/trace"
)

// UnknownState is where a talk about open boxes has come to, as JSON.
type UnknownState struct {
	Job     string       `json:"job"`
	Status  trace.Status `json:"status"`
	Classes int          `json:"classes"`
	Fits    []UnknownFit `json:"fits"`
	// Open are the boxes that are searched, Disturbed those of them in which somebody
	// worked, and LeftOut those in which what the job states goes with no scheme.
	Open      []string         `json:"open"`
	Disturbed []string         `json:"disturbed"`
	LeftOut   []UnknownLeftOut `json:"left_out"`
	// Boxes say of every open box what is in it, Conductors what each conductor there may be
	// for, and Power whether a control would find power and neutral there.
	Boxes      map[string][]string `json:"boxes"`
	Conductors map[string][]string `json:"conductors"`
	Power      map[string][]string `json:"power"`
	Steps      []string            `json:"next_steps,omitempty"`
	Answers    []identify.Entry    `json:"answers,omitempty"`
	Log        []identify.Entry    `json:"log"`
	Dropped    []UnknownDropped    `json:"dropped,omitempty"`
	Cautions   []string            `json:"cautions"`
}

// UnknownFit is a group that remains.
type UnknownFit struct {
	Likely quantity.Ratio `json:"likely"`
	Plans  []string       `json:"plans"`
	// Dangers are what is forbidden or dangerous in them, or has to be minded.
	Dangers []string `json:"dangers"`
	Cables  []string `json:"cables"`
	Ends    []string `json:"ends"`
}

// UnknownLeftOut is a box in which what the job states goes with no scheme, so that it is
// left out of account: what is joined there now nobody knows.
type UnknownLeftOut struct {
	Box  string   `json:"box"`
	Says []string `json:"says"` // what the job states of it
}

// UnknownDropped is an entry of the log, counted from 1, that counts for nothing or in
// part, since somebody worked in boxes that were not apart.
type UnknownDropped struct {
	Entry  int      `json:"entry"`
	Line   string   `json:"line"`
	Boxes  []string `json:"boxes"`
	Wholly bool     `json:"wholly"`
}

// state prints where the talk has come to.
func (d *sorter) state(ctx context.Context, out io.Writer) error {
	v := d.s.Verdict(0)
	s := UnknownState{Job: d.title, Status: v.Status, Classes: v.Classes, Fits: []UnknownFit{}, Open: d.c.Open(), Disturbed: append([]string{}, d.boxes.disturbed...),
		LeftOut: []UnknownLeftOut{}, Boxes: map[string][]string{}, Conductors: map[string][]string{}, Power: map[string][]string{},
		Log: append([]identify.Entry{}, d.s.Log()...), Cautions: cautions.Work()}
	for _, box := range d.strange {
		s.LeftOut = append(s.LeftOut, UnknownLeftOut{box, d.setAside([]string{box})})
	}
	for _, f := range v.Fits {
		fit := UnknownFit{f.Likely, texts(f.Plans), []string{}, texts(f.Cables), texts(f.Ends)}
		for _, p := range f.Plans {
			for _, danger := range dangers(p) {
				fit.Dangers = append(fit.Dangers, p.Control+": "+danger)
			}
		}
		s.Fits = append(s.Fits, fit)
	}
	for _, x := range d.s.Dropped() {
		line, err := d.said(s.Log[x.Entry])
		if err != nil {
			return err
		}
		s.Dropped = append(s.Dropped, UnknownDropped{x.Entry + 1, line, x.Boxes, x.Wholly})
	}
	for _, box := range d.c.Open() {
		in, err := d.s.In(box)
		if err != nil {
			return err
		}
		s.Boxes[box], s.Conductors[box], s.Power[box] = texts(in.Has), texts(in.Ends), texts(in.Controls)
	}
	if err := d.propose(ctx, false); err != nil {
		return err
	}
	if d.advice.Status == trace.Searching {
		s.Steps = d.advice.Test.Steps()
		for _, a := range d.answers {
			s.Answers = append(s.Answers, answered(a.Of, 0))
		}
	}
	return program.WriteJSON(out, s)
}

func texts[T fmt.Stringer](list []T) []string {
	out := make([]string, len(list))
	for i, x := range list {
		out[i] = x.String()
	}
	return out
}
