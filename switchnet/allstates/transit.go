package allstates

import (
	"context"

	"example.com/switchleg/switchnet"
)

// AnalyzeTransit analyses the net with every handle also stopped half way between
// neighbouring positions: each switch that moves gets the extra positions of
// [switchnet.Kind.WithTransit]. A wiring may be free of shorts at rest and not on
// the way. The states of the analysis are of the changed net, which
// [Analysis.Net] returns; Options.Hold may be a state of the net given.
func AnalyzeTransit(ctx context.Context, net *switchnet.Net, t switchnet.Transit, opt *Options) (*Analysis, error) {
	if t != switchnet.BreakBeforeMake && t != switchnet.MakeBeforeBreak {
		return nil, &Error{BadValue, t.String(), "is no sort of transit; give BreakBeforeMake or MakeBeforeBreak"}
	}
	// What is wrong with the options is said of the net they are for.
	plain, err := Analyze(ctx, net, opt)
	if err != nil {
		return nil, err
	}
	b := net.Builder()
	moves := map[switchnet.Ref]bool{}
	for _, r := range plain.Devices() {
		moves[r] = true
	}
	for d := range net.Devices() {
		if moves[d.Ref] {
			b.RemoveDevice(d.Place, d.Name)
			b.Device(d.Place, d.Name, d.Kind.WithTransit(t))
		}
	}
	changed, err := b.Build()
	if err != nil {
		return nil, err
	}
	o := Options{Vary: plain.Devices(), Budget: plain.budget}
	if opt != nil && opt.Hold.Net() != nil {
		if o.Hold, err = opt.Hold.On(changed); err != nil {
			return nil, err
		}
	}
	return Analyze(ctx, changed, &o)
}
