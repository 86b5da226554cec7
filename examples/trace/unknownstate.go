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
	Job      string              `json:"job"`
	Status   trace.Status        `json:"status"`
	Classes  int                 `json:"classes"`
	Fits     []UnknownFit        `json:"fits"`
	Boxes    map[string][]string `json:"boxes"`
	Steps    []string            `json:"next_steps,omitempty"`
	Answers  []identify.Entry    `json:"answers,omitempty"`
	Log      []identify.Entry    `json:"log"`
	Dropped  []UnknownDropped    `json:"dropped,omitempty"`
	Cautions []string            `json:"cautions"`
}

// UnknownFit is a group that remains.
type UnknownFit struct {
	Likely quantity.Ratio `json:"likely"`
	Plans  []string       `json:"plans"`
	Cables []string       `json:"cables"`
	Ends   []string       `json:"ends"`
}

// UnknownDropped is an entry of the log, counted from 1, that counts for nothing or in
// part, since somebody worked in boxes that were not apart.
type UnknownDropped struct {
	Entry  int      `json:"entry"`
	Boxes  []string `json:"boxes"`
	Wholly bool     `json:"wholly"`
}

// state prints where the talk has come to.
func (d *sorter) state(ctx context.Context, out io.Writer) error {
	v := d.s.Verdict(0)
	s := UnknownState{Job: d.title, Status: v.Status, Classes: v.Classes, Fits: []UnknownFit{}, Boxes: map[string][]string{}, Log: d.s.Log(), Cautions: cautions.Work()}
	if s.Log == nil {
		s.Log = []identify.Entry{}
	}
	for _, f := range v.Fits {
		s.Fits = append(s.Fits, UnknownFit{f.Likely, texts(f.Plans), texts(f.Cables), texts(f.Ends)})
	}
	for _, x := range d.s.Dropped() {
		s.Dropped = append(s.Dropped, UnknownDropped{x.Entry + 1, x.Boxes, x.Wholly})
	}
	for _, box := range d.c.Open() {
		in, err := d.s.In(box)
		if err != nil {
			return err
		}
		s.Boxes[box] = texts(in.Has)
	}
	if err := d.propose(ctx); err != nil {
		return err
	}
	if d.advice.Status == trace.Searching {
		s.Steps = d.advice.Test.Steps()
		for _, a := range d.answers {
			s.Answers = append(s.Answers, identify.Entry{Of: a.Of})
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
