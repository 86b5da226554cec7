package main

import (
	"regexp"
	"strings"
	"testing"

	"example.com/switchleg/switchnet/identify"
)

// Everything that is dangerous in how a control is wired is said, not only the first.
func TestDangers(t *testing.T) {
	for _, r := range []struct {
		reason string
		plan   identify.Plan
		want   []string
	}{
		{"an ordinary chain", identify.Plan{Scheme: identify.Chain, Feed: "shed", Neutral: "shed"}, nil},
		{"its neutral is another's", identify.Plan{Scheme: identify.Chain, Feed: "shed", Neutral: "loft"},
			[]string{"BORROWED NEUTRAL: that of loft"}},
		{"the switches are in it, and it is borrowed", identify.Plan{Scheme: identify.SwitchedNeutral, Feed: "shed", Neutral: "loft"},
			[]string{"UNLAWFUL: the switches are in the neutral", "BORROWED NEUTRAL"}},
		{"hot and neutral on the throws", identify.Plan{Scheme: identify.HotNeutralThrows, Feed: "shed", Neutral: "shed"},
			[]string{"UNLAWFUL: hot and neutral"}},
		{"joined with two others, of which it borrows one", identify.Plan{Scheme: identify.Chain, Feed: "shed", Neutral: "loft", JoinedIn: "stair-foot", JoinedWith: "loft and yard"},
			[]string{"BORROWED", "JOINED in stair-foot"}},
		{"kept apart and joined again", identify.Plan{Scheme: identify.Chain, Feed: "shed", Neutral: "shed", ApartFrom: "slip-door", JoinedIn: "loft"},
			[]string{"NEUTRAL BY TWO WAYS: what is joined again in loft", "do not join"}},
		{"shared on one line", identify.Plan{Scheme: identify.Chain, Feed: "shed", Neutral: "shed", Shares: "loft", OneLine: true},
			[]string{"OVERLOADED NEUTRAL", "SHARED NEUTRAL: it is live while any of shed and loft is on"}},
		{"shared on two lines", identify.Plan{Scheme: identify.Chain, Feed: "shed", Neutral: "shed", Shares: "loft"},
			[]string{"SHARED NEUTRAL"}},
	} {
		got := dangers(r.plan)
		if len(got) != len(r.want) {
			t.Errorf("%s: %d dangers are told: %q", r.reason, len(got), got)
			continue
		}
		for i, want := range r.want {
			if !strings.Contains(got[i], want) {
				t.Errorf("%s: %q does not say %q", r.reason, got[i], want)
			}
		}
		if len(got) > 0 && !r.plan.Lawful() && strings.Contains(planned(r.plan), "unlawful") {
			t.Errorf("%s: that it is unlawful is said twice", r.reason)
		}
	}
}

// touches finds what tells somebody to part or to open something.
var touches = regexp.MustCompile(`(?i)\b(part|open|lift|take|undo|cut)\b`)

// Whoever is told to part or open something is told in the same breath to lock out and to
// prove dead.
func TestDangersAreTouchedSafely(t *testing.T) {
	told := 0
	for _, scheme := range identify.Schemes() {
		for n := range 1 << 6 {
			p := identify.Plan{Control: "stair", Scheme: scheme, Feed: "shed", Neutral: "shed", OneLine: n&1 != 0}
			for bit, field := range map[int]*string{1: &p.Shares, 2: &p.ApartFrom, 3: &p.JoinedIn, 4: &p.JoinedWith} {
				if n&(1<<bit) != 0 {
					*field = "loft"
				}
			}
			if n&(1<<5) != 0 {
				p.Neutral = "yard"
			}
			for _, s := range dangers(p) {
				if !touches.MatchString(s) {
					continue
				}
				told++
				low := strings.ToLower(s)
				if !regexp.MustCompile(`lock out|locked out`).MatchString(low) || !regexp.MustCompile(`proven dead|prove it dead`).MatchString(low) {
					t.Errorf("%q says nothing of locking out and proving dead", s)
				}
			}
		}
	}
	if told == 0 {
		t.Error("nobody is told to part anything")
	}
}
