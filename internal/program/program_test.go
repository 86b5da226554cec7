package program_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/demo"
	"example.com/switchleg/internal/program"
	"example.com/switchleg/switchnet/wiring"
)

const usage = "Usage: try -size N\n\n"

func start(errs *strings.Builder) *program.Program {
	p := program.New("try", usage, errs)
	p.Flags.Int("size", 0, "so many `N`")
	return p
}

func TestParse(t *testing.T) {
	for _, r := range []struct {
		args   []string
		status int
		ok     bool
		said   string
		why    string
	}{
		{[]string{"-size", "3"}, program.Answered, true, "", "all is well"},
		{[]string{"-h"}, program.Answered, false, usage + "  -size N\n    \tso many N\n", "help is no error"},
		{[]string{"-hat"}, program.Misused, false, "try: flag provided but not defined: -hat\ntry -h tells the flags.\n",
			"the message is not lost above a page of flags"},
		{[]string{"-size", "many"}, program.Misused, false, "try: invalid value \"many\" for flag -size: parse error\ntry -h tells the flags.\n",
			"a flag of another type"},
	} {
		var errs strings.Builder
		status, ok := start(&errs).Parse(r.args)
		if status != r.status || ok != r.ok || errs.String() != r.said {
			t.Errorf("%s: %d, %v, %q", r.why, status, ok, errs.String())
		}
	}
}

// Every mistake is told, in the order in which it was noted, and none hides another.
func TestMistakes(t *testing.T) {
	var errs strings.Builder
	p := start(&errs)
	if _, ok := p.Parse([]string{"-size", "1", "stray", "more"}); !ok {
		t.Fatal(errs.String())
	}
	var m program.Mistakes
	if err := m.Err(); err != nil {
		t.Errorf("without mistakes: %v", err)
	}
	p.NoOperands(&m)
	if v := program.Value(&m, "volume", "12", quantity.ParseVolume); v != 0 {
		t.Errorf("a text that is refused gives %v", v)
	}
	if v := program.Value(&m, "volume", "", quantity.ParseVolume); v != 0 {
		t.Errorf("no text gives %v", v)
	}
	if v := program.Value(&m, "volume", "18 in3", quantity.ParseVolume); v != 18*quantity.CubicInch {
		t.Errorf("a good text gives %v", v)
	}
	if status := p.Fail(m.Err()); status != program.Misused {
		t.Errorf("status %d", status)
	}
	lines := strings.Split(errs.String(), "\n")
	for i, want := range []string{`try: "stray" is no flag`, `try: "more" is no flag`, `try: -volume: volume "12"`, "try -h tells the flags."} {
		if i >= len(lines) || !strings.HasPrefix(lines[i], want) {
			t.Errorf("line %d of %q: want %q", i, lines, want)
		}
	}
}

func TestFail(t *testing.T) {
	lacking := &conductor.MissingRuleError{Region: "ca", Rule: conductor.RuleAmpacity, Needed: "a table"}
	none := &boxfill.Problem{Path: "Blocks", Kind: boxfill.ErrNoRule, Text: "no rule"}
	below := &boxfill.Problem{Path: "Pads", Kind: boxfill.ErrNegative, Text: "-1"}
	for _, r := range []struct {
		err    error
		status int
		why    string
	}{
		{errors.New("shed.yaml:3:1: wrong"), program.Wrong, "a file is wrong"},
		{fmt.Errorf("size: %w", lacking), program.NoAnswer, "the region has no such rule"},
		{boxfill.Problems{none, none}, program.NoAnswer, "nor any of the others"},
		{boxfill.Problems{none, below}, program.Wrong, "something else is wrong too, and can be put right first"},
		{errors.Join(lacking, errors.New("more")), program.Wrong, "the same of a joined error"},
		{fmt.Errorf("size: %w", context.Canceled), program.NoAnswer, "the user stopped it"},
		{context.DeadlineExceeded, program.NoAnswer, "the time limit did"},
	} {
		var errs strings.Builder
		if status := start(&errs).Fail(r.err); status != r.status || !strings.HasSuffix(errs.String(), r.err.Error()+"\n") {
			t.Errorf("%s: %d, %q", r.why, status, errs.String())
		}
	}
}

func TestInput(t *testing.T) {
	if got := program.Regions(); !strings.Contains(got, "us-2023") {
		t.Errorf("regions: %s", got)
	}
	file, w, err := program.WiredJob("", "")
	if err != nil || file.Rules != "us-2023" || file.Name != demo.ShedWiredName || len(w.Circuits()) == 0 {
		t.Errorf("the shed: %v", err)
	}
	amend := filepath.Join(t.TempDir(), "harbor.yaml")
	if err := os.WriteFile(amend, []byte("format: 1\nname: Harbor\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	if file, err = program.ReadJob("", amend); err != nil {
		t.Fatal(err)
	}
	if file.Name != demo.ShedName || file.HasWiring() || !file.HasIntent() {
		t.Errorf("the shed, as wanted: %s", file.Name)
	}
	var b strings.Builder
	of := program.RulesOf(file.Region)
	if err := of.Write(&b, true); err != nil || !strings.Contains(b.String(), ", amended by Harbor\n  ") {
		t.Errorf("%v, %q", err, b.String())
	}
	for _, r := range []struct{ job, amend, said string }{
		{"absent.yaml", "", "cannot read the job: open absent.yaml"},
		{"", "absent.yaml", "cannot read the amendments: open absent.yaml"},
	} {
		if _, _, err := program.WiredJob(r.job, r.amend); err == nil || !strings.Contains(err.Error(), r.said) {
			t.Errorf("%+v: %v", r, err)
		}
	}
	if err := os.WriteFile(amend, []byte("format: 1\ntitle: Wanted\nrules: us-2023\nboxes: [{name: panel, kind: panel}]\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, _, err := program.WiredJob(amend, ""); err == nil || !strings.Contains(err.Error(), "not how it is wired") {
		t.Errorf("a file without wiring: %v", err)
	}
	wanted, err := program.ReadJob(amend, "")
	if err != nil {
		t.Fatal(err)
	}
	small := wiring.Problems{{At: wiring.Ref{List: "boxes", Field: "kind"}, Detail: "is small"}}
	if err := wanted.Explain(small); err == nil || !strings.HasPrefix(err.Error(), amend+":4:29: is small") {
		t.Errorf("explained: %v", err)
	}
	if text, err := wanted.WithWiring(wanted.Wiring); err != nil || !strings.HasPrefix(string(text), "format: 1\ntitle: Wanted\n") {
		t.Errorf("with no wiring: %s, %v", text, err)
	}
}

func TestWriteJSON(t *testing.T) {
	var b strings.Builder
	if err := program.WriteJSON(&b, map[string]string{"a": "b < c"}); err != nil || b.String() != "{\n  \"a\": \"b < c\"\n}\n" {
		t.Errorf("%v, %q", err, b.String())
	}
}
