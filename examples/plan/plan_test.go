package main

import (
	"bytes"
	"context"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/internal/demo"
	"example.com/switchleg/internal/golden"
	"example.com/switchleg/internal/program"
	"example.com/switchleg/internal/programtest"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/plan"
)

func TestMain(m *testing.M) { programtest.Main(m, "plan", main) }

// TestScripts runs the program as a person does. Beside the boat shed there are the
// shed with one line changed: its feed comes in at the loft, or a larger cable was
// pulled from there to the aisle lights.
func TestScripts(t *testing.T) {
	programtest.Scripts(t, map[string]string{
		"shed.yaml":   string(demo.Shed()),
		"loft.yaml":   changed(t, "{from: panel, to: store-door, length: 8 ft}", "{from: panel, to: loft, length: 46 ft}"),
		"pulled.yaml": changed(t, "{from: loft, to: aisle-3, length: 16 ft}", "{from: loft, to: aisle-3, length: 16 ft, cable: 14/3, existing: yes}"),
	})
}

// changed returns the shed with a part of one line replaced.
func changed(t *testing.T, old, new string) string {
	t.Helper()
	shed := string(demo.Shed())
	if strings.Count(shed, "\n  - "+old+"\n") != 1 {
		t.Fatalf("there is not one line %q", old)
	}
	return strings.Replace(shed, old, new, 1)
}

// TestShed holds what is planned for the boat shed, in text and in JSON.
func TestShed(t *testing.T) {
	for _, g := range []struct {
		file string
		args []string
	}{
		{"shed.txt", nil},
		{"shed.json", []string{"-json"}},
	} {
		var out, errs bytes.Buffer
		if code := run(context.Background(), g.args, &out, &errs); code != program.Answered {
			t.Fatalf("%v: exit %d: %s", g.args, code, errs.String())
		}
		golden.Compare(t, filepath.Join("testdata", g.file), out.Bytes())
	}
}

// A context that has ended ends the plan, whatever the time.
func TestStopped(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	stop()
	var out, errs bytes.Buffer
	if code := run(ctx, nil, &out, &errs); code != program.NoAnswer || out.Len() > 0 || !strings.Contains(errs.String(), "stopped") {
		t.Errorf("exit %d, %q, %q", code, out.String(), errs.String())
	}
}

// What is said of a plan, and the exit status, for each status that a plan can have.
func TestVerdict(t *testing.T) {
	full := []plan.FullBox{{Box: "loft"}}
	for _, r := range []struct {
		why    string
		plan   plan.Plan
		status int
		says   string
	}{
		{"proven", plan.Plan{Status: plan.Optimal, Unit: "conductor-feet", Cost: 7e6, Bound: 7e6}, program.Answered, "Optimal: 7 conductor-feet. No plan of this kind costs less ("},
		{"with prices", plan.Plan{Status: plan.Optimal, Unit: "the unit of the prices", Cost: 7e6, Bound: 7e6}, program.Answered, "Optimal: 7 in the unit of the prices. No plan of this kind costs less ("},
		{"not proven", plan.Plan{Status: plan.BestFound, Unit: "conductor-feet", Cost: 7e6, Bound: 5.5e6}, program.Answered,
			"Best found: 7 conductor-feet. No plan of this kind costs less than 5.5, so this one costs at most 1.5 more than the best"},
		{"of many decimals: the bound rounded down and the rest up, so that both are true", plan.Plan{Status: plan.BestFound, Unit: "conductor-meters", Cost: 7_004_999, Bound: 5_509_999}, program.Answered,
			"Best found: 7 conductor-meters. No plan of this kind costs less than 5.5, so this one costs at most 1.5 more than the best"},
		{"all but the best", plan.Plan{Status: plan.BestFound, Unit: "conductor-meters", Cost: 7_000_001, Bound: 7_000_000}, program.Answered,
			"Best found: 7 conductor-meters. No plan of this kind costs less than 7, so this one costs at most 0.01 more than the best"},
		{"a box too small", plan.Plan{Status: plan.Optimal, Full: full}, program.Fails, "TOO SMALL for it: 1 box; see the end."},
		{"boxes too small", plan.Plan{Status: plan.BestFound, Full: append(full, full...)}, program.Fails, "TOO SMALL for it: 2 boxes; see the end."},
		{"proven that there is none", plan.Plan{Status: plan.Infeasible}, program.Fails, "CANNOT BE DONE as asked"},
		{"on many runs", plan.Plan{Status: plan.Infeasible, Lacks: make([]plan.Lack, 22)}, program.Fails, "And 2 runs more; -json lists all."},
		{"none found", plan.Plan{Status: plan.NoneFound}, program.NoAnswer, "NONE FOUND: in all that was tried a run has room for too few conductors. There may be a plan all the same"},
	} {
		job, err := program.ReadJob("", "")
		if err != nil {
			t.Fatal(err)
		}
		r.plan.Spec = job.Wiring
		report, err := newReport(job, &r.plan)
		if err != nil {
			t.Fatal(err)
		}
		var b strings.Builder
		if err := report.write(&b); err != nil {
			t.Fatal(err)
		}
		if text := strings.Join(strings.Fields(b.String()), " "); !strings.Contains(text, r.says) {
			t.Errorf("%s: no %q in\n%s", r.why, r.says, b.String())
		}
		if got := statusOf(&r.plan); got != r.status {
			t.Errorf("%s: exit status %d, want %d", r.why, got, r.status)
		}
	}
}

// An earlier plan that is kept may cost more than another, and the difference is told
// the right way round.
func TestDifferences(t *testing.T) {
	job, err := program.ReadJob("", "")
	if err != nil {
		t.Fatal(err)
	}
	p := &plan.Plan{Status: plan.BestFound, Unit: "conductor-feet", Cost: 9e6, Bound: 7e6, Spec: job.Wiring,
		Controls: []plan.Control{{Name: "aisle", Scheme: intent.Chain, Order: []string{"loft", "yard-door"}, Next: []plan.Alternative{
			{Scheme: intent.Chain, Order: []string{"yard-door", "loft"}, More: -1.5e6},
			{Scheme: intent.JoinedCommons, Order: []string{"loft", "yard-door"}, More: 0}}}}}
	for _, r := range []struct {
		why   string
		anew  rules.Amount
		boxes int
		says  string
	}{
		{"dearer than anew", 7e6, 1, "It costs 9 conductor-feet. Planned anew, keeping nothing, it would cost 2 less."},
		{"anew found nothing as good", 10e6, 0, "Best found: 9 conductor-feet."},
		{"the sheets", 7e6, 1, "1 box sheet changes: b0."},
		{"more of them than are worth naming", 7e6, 14, "14 box sheets change: b0, b1, b2, b3, b4, b5, b6, b7, b8, b9, b10, b11 and 2 more."},
		{"an order that costs less", 7e6, 1, "next best: yard-door, loft: 1.5 conductor-feet less"},
		{"another scheme at the same cost", 7e6, 1, "next best: joined commons, loft, yard-door: costs the same"},
	} {
		rev := &plan.Revision{Plan: p, Anew: &plan.Plan{Status: plan.Optimal, Cost: r.anew}}
		for i := range r.boxes {
			rev.Boxes = append(rev.Boxes, plan.BoxChange{Box: fmt.Sprint("b", i)})
		}
		report, err := newReport(job, p)
		if err != nil {
			t.Fatal(err)
		}
		report.again("planned.yaml", rev)
		var b strings.Builder
		if err := report.write(&b); err != nil {
			t.Fatal(err)
		}
		if text := strings.Join(strings.Fields(b.String()), " "); !strings.Contains(text, r.says) {
			t.Errorf("%s: no %q in\n%s", r.why, r.says, b.String())
		}
	}
}
