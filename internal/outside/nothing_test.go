package outside

import (
	"context"
	"io"
	"strings"
	"testing"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/allstates"
	"example.com/switchleg/switchnet/check"
	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/lab"
	"example.com/switchleg/switchnet/lab/course"
	"example.com/switchleg/switchnet/miswire"
	"example.com/switchleg/switchnet/packet"
	"example.com/switchleg/switchnet/plan"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

func second[T any](_ T, err error) error { return err }

// TestNothing hands nothing to whatever takes something that another call makes: nil,
// and the zero value. An embedding program that forgot to look at an error does so.
// Each must say so, and none may panic.
func TestNothing(t *testing.T) {
	ctx := context.Background()
	var b switchnet.Builder
	b.Source(switchnet.Source{Ref: switchnet.Ref{Name: "supply"}, System: switchnet.SplitPhase()})
	b.Device("slip door", "slipway", switchnet.SinglePole())
	net, err := b.Build()
	if err != nil {
		t.Fatal(err)
	}
	door := switchnet.Ref{Place: "slip door", Name: "slipway"}
	whole, err := allstates.Analyze(ctx, net, nil)
	if err != nil {
		t.Fatal(err)
	}
	var noContext context.Context
	for _, row := range []struct {
		what string
		call func() error
	}{
		{"an empty table of box fill", func() error { return second(boxfill.Fill(new(boxfill.Table), boxfill.Contents{})) }},
		{"no table of box fill", func() error { return second(boxfill.Fill(nil, boxfill.Contents{})) }},
		{"no table to pick a box by", func() error { return second(boxfill.Pick(nil, nil, boxfill.Contents{})) }},
		{"no table to find remedies by", func() error {
			return second(boxfill.Remedies(nil, boxfill.Contents{}, boxfill.RemedyOptions{}))
		}},
		{"no table for spaces", func() error { return second(boxfill.FillSpaces(nil, []boxfill.Contents{{}})) }},
		{"an empty circuit", func() error {
			s, err := conductor.NewSizer(conductor.Table{})
			if err != nil {
				return err
			}
			return second(s.Size(conductor.Circuit{}))
		}},
		{"a region of no file system", func() error { return second(rules.LoadFS(nil, "us-2023")) }},
		{"an overlay of no file system", func() error { return second(rules.OverlayFile(nil, "town.yaml")) }},
		{"an overlay without text", func() error { return second(rules.Load("us-2023", rules.Overlay{})) }},

		{"a net of an empty builder", func() error { return second(new(switchnet.Builder).Build()) }},
		{"the zero solver", func() error { return second(new(switchnet.Solver).Solve(net.Rest())) }},
		{"a solver of no net", func() error { return second((*switchnet.Net)(nil).NewSolver().Solve(net.Rest())) }},
		{"the zero state", func() error { return second(net.NewSolver().Solve(switchnet.State{})) }},
		{"a state on no net", func() error { return second(net.Rest().On(nil)) }},
		{"the zero state moved", func() error { return second(switchnet.State{}.With(door, "on")) }},

		{"every state of no net", func() error { return second(allstates.Analyze(ctx, nil, nil)) }},
		{"every state of the zero net", func() error { return second(allstates.Analyze(ctx, new(switchnet.Net), nil)) }},
		{"every state and no context", func() error { return second(allstates.Analyze(noContext, net, nil)) }},
		{"transit in no net", func() error { return second(allstates.AnalyzeTransit(ctx, nil, switchnet.BreakBeforeMake, nil)) }},
		{"a load of no analysis", func() error { return second((*allstates.Analysis)(nil).Load(ctx, door)) }},
		{"states of the zero analysis", func() error { return second(new(allstates.Analysis).Find(ctx)) }},
		{"states and no context", func() error { return second(whole.Find(noContext)) }},
		{"what is live in the zero analysis", func() error { return second(new(allstates.Analysis).LiveWhile(ctx)) }},
		{"an editor of the zero analysis", func() error { return second(new(allstates.Analysis).Editor(ctx)) }},
		{"an analysis compared with none", func() error { return second(allstates.Equal(ctx, whole, nil)) }},
		{"the zero claim", func() error { return second(whole.Find(ctx, allstates.Claim{})) }},

		{"nil as a wiring", func() error { return (*wiring.Wiring)(nil).Check() }},
		{"an empty job", func() error { return second(wiring.New(wiring.Spec{})) }},
		{"contents of no wiring", func() error { return second((*wiring.Wiring)(nil).Contents("slip-door")) }},
		{"a question of the zero wiring", func() error { return second(new(wiring.Wiring).Question(wiring.Circuit{})) }},
		{"an empty intent", func() error {
			_, missing := intent.Control{Name: "aisle", Places: []string{"slip-door"}}.Switches(nil)
			if len(missing) != 1 {
				t.Errorf("of no wiring no place is missing: %q", missing)
			}
			return intent.Intent{}.Check()
		}},
		{"volts of no wiring", func() error { return second(steady.New(nil, new(conductor.Table), nil)) }},
		{"volts of the zero wiring", func() error { return second(steady.New(new(wiring.Wiring), nil, nil)) }},
		{"a solution of no problem", func() error { return second(new(steady.Problem).Solve(net.Rest())) }},
		{"the worst drop of no problem", func() error {
			_, _, err := (*steady.Problem)(nil).WorstDrop(ctx, nil)
			return err
		}},
		{"no job file written", func() error { return second(job.Marshal(nil, nil)) }},
		{"fixes in no wiring", func() error { return second(check.Propose(ctx, check.Job{}, check.Suite{}, nil, nil)) }},
		{"faults of no solution", func() error { return second(new(steady.Solution).Faults(ctx)) }},
		{"a fault in no wiring", func() error { return second(miswire.Fault{}.Apply(nil)) }},
		{"what no wiring does", func() error { return second(miswire.Behave(ctx, nil, nil)) }},
		{"classes of no wiring", func() error { return second(miswire.Classes(ctx, nil, miswire.List(nil), nil)) }},

		{"nothing checked", func() error { return second(check.Run(ctx, check.Job{Wiring: new(wiring.Wiring)}, check.Suite{}, nil)) }},
		{"nothing troubled", func() error { return second(trace.New(ctx, nil, nil)) }},
		{"nothing rung out", func() error { return second(trace.RingOutOf(ctx, new(wiring.Wiring))) }},
		{"nothing identified", func() error { return second(identify.New(ctx, nil, nil)) }},
		{"a plan by no rules", func() error { return second(plan.New(ctx, intent.Intent{}, nil, nil)) }},
		{"a packet of nothing", func() error { return second(packet.Build(ctx, packet.Input{Wiring: new(wiring.Wiring)})) }},
		{"a take-off of nothing", func() error { return second(packet.NewTakeOff(nil, nil, nil)) }},
		{"a sum of no take-off", func() error { return second(packet.SumTakeOffs([]*packet.TakeOff{nil})) }},
		{"files of no document", func() error { return second(packet.Files(nil)) }},
		{"text of no document", func() error { return packet.WriteText(io.Discard, nil) }},
		{"a box of no document", func() error { return packet.WriteBox(io.Discard, nil, 0) }},
		{"JSON of no document", func() error { return packet.WriteJSON(io.Discard, nil) }},
		{"a table of no document", func() error { return packet.WriteTakeOffCSV(io.Discard, nil) }},
		{"cables of no document", func() error { return packet.WriteCablesCSV(io.Discard, nil) }},
		{"edits of no wiring", func() error { return second(new(wiring.Wiring).Apply()) }},

		{"exercises on no file", func() error { return second(lab.FromFile(ctx, nil)) }},
		{"a judge of no job", func() error { return second(lab.NewJudge(ctx, nil)) }},
		{"a judge of an empty job", func() error { return second(lab.NewJudge(ctx, &lab.Job{})) }},
		{"practice without wiring", func() error { return second(lab.NewPractice(nil, lab.PracticeOptions{})) }},
		{"a secret without chance", func() error { return second(course.NewSecret(nil)) }},
	} {
		func() {
			defer func() {
				if p := recover(); p != nil {
					t.Errorf("%s: panics: %v", row.what, p)
				}
			}()
			if err := row.call(); err == nil || err.Error() == "" {
				t.Errorf("%s: no error", row.what)
			}
		}()
	}
}

// TestZeroValuesSaySomething: the zero value of a plain result can be printed.
func TestZeroValuesSaySomething(t *testing.T) {
	for what, say := range map[string]func() string{
		"a class":           func() string { return new(trace.Class).String() },
		"what is predicted": func() string { return trace.Predicted{}.String() },
		"a check":           func() string { return strings.Join(append(trace.Check{}.Steps(), "none"), " ") },
		"an empty document": func() string {
			var b strings.Builder
			_ = packet.WriteText(&b, new(packet.Document))
			return b.String()
		},
		"an empty box":       func() string { r := boxfill.Result{}; return r.Explain() },
		"an empty step":      func() string { return conductor.Step{}.String() },
		"an empty condition": func() string { return switchnet.Condition{}.String() },
		"an empty path":      func() string { return switchnet.Path{}.String() + "none" },
	} {
		func() {
			defer func() {
				if p := recover(); p != nil {
					t.Errorf("%s: panics: %v", what, p)
				}
			}()
			if say() == "" {
				t.Errorf("%s says nothing", what)
			}
		}()
	}
}
