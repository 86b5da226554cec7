package conductor

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/conductor/quantity"
)

func TestParseSize(t *testing.T) {
	tests := []struct {
		text string
		want Size
		err  string
		why  string
	}{
		{"14 AWG", AWG(14), "", "lighting circuit"},
		{"14AWG", AWG(14), "", "no blank"},
		{"1/0 AWG", AWG(0), "", "one aught is gauge 0"},
		{"4/0 AWG", AWG(-3), "", "largest gauge"},
		{"250 kcmil", Kcmil(250), "", "above the gauges"},
		{"1.5 mm2", Metric(1_500_000), "", "metric"},
		{"1.50 mm²", Metric(1_500_000), "", "the same, other spelling"},
		{"14", Size{}, "write", "a bare number may be a gauge or a cross-section"},
		{"15 AWG", Size{}, "18, 16, 14", "no building wire has that gauge"},
		{"5/0 AWG", Size{}, "18, 16, 14", "no such gauge"},
		{"0/0 AWG", Size{}, "18, 16, 14", "no such gauge"},
		{"0 AWG", Size{}, "18, 16, 14", "written 1/0"},
		{"014 AWG", Size{}, "18, 16, 14", "not a trade spelling"},
		{"-1 AWG", Size{}, "18, 16, 14", "written 2/0"},
		{"0 kcmil", Size{}, "whole number", "no area"},
		{"99999 kcmil", Size{}, "whole number", "beyond any conductor"},
		{"0 mm2", Size{}, "above 0", "no area"},
		{"-1.5 mm2", Size{}, "above 0", "negative"},
		{"2000 mm2", Size{}, "up to 1000", "beyond any conductor"},
		{"", Size{}, "write", "empty"},
	}
	for _, tt := range tests {
		got, err := ParseSize(tt.text)
		if got != tt.want || (err == nil) != (tt.err == "") || err != nil && !strings.Contains(err.Error(), tt.err) {
			t.Errorf("ParseSize(%q) = %v, %v; want %v, error %q (%s)", tt.text, got, err, tt.want, tt.err, tt.why)
		}
	}
}

func gauges() []Size {
	var all []Size
	for n := thickestGauge; n <= thinnestGauge; n++ {
		if s := AWG(n); s.Valid() {
			all = append(all, s)
		}
	}
	return all
}

func TestSizeTextRoundTrip(t *testing.T) {
	all := append(gauges(), Kcmil(1), Kcmil(250), Kcmil(2000), Metric(1), Metric(1_500_000), Metric(1000*quantity.SquareMillimeter))
	for _, s := range all {
		if back, err := ParseSize(s.String()); err != nil || back != s {
			t.Errorf("%s reads as %v, %v", s, back, err)
		}
	}
	if _, err := (Size{}).MarshalText(); err == nil {
		t.Error("the zero size has a text")
	}
}

// The gauge law: each diameter is 92^(1/39) times the next thinner one, from 5
// mil at 36. The tables round to three or four figures.
func TestGaugesFollowTheGaugeLaw(t *testing.T) {
	for _, s := range gauges() {
		mils, _ := s.CircularMils()
		law := 25 * math.Pow(92, float64(36-s.number)/19.5)
		if off := math.Abs(float64(mils)-law) / law; off > 0.003 {
			t.Errorf("%s: %s is %.2f %% off the gauge law's %.0f", s, mils, 100*off, law)
		}
	}
}

func TestSizesOrderByArea(t *testing.T) {
	want := []Size{{}, AWG(18), Metric(1_000_000), AWG(16), Metric(1_500_000), AWG(14), Metric(2_500_000), AWG(12), Metric(4_000_000),
		AWG(10), AWG(8), AWG(6), AWG(4), AWG(3), AWG(2), AWG(1), AWG(0), AWG(-1), AWG(-2), AWG(-3), Kcmil(250), Kcmil(2000), Metric(1000 * quantity.SquareMillimeter)}
	// 2000 kcmil is 1013.4 mm2, so it comes after 1000 mm2.
	n := len(want)
	want[n-2], want[n-1] = want[n-1], want[n-2]
	got := slices.Clone(want)
	rand.New(rand.NewPCG(1, 2)).Shuffle(n, func(i, j int) { got[i], got[j] = got[j], got[i] })
	slices.SortFunc(got, Size.Compare)
	if !slices.Equal(got, want) {
		t.Errorf("got  %v\nwant %v", got, want)
	}
	if c := Kcmil(1).Compare(Kcmil(1)); c != 0 {
		t.Errorf("a size compares %d with itself", c)
	}
}

func TestUnbuildableSizesAreZero(t *testing.T) {
	for _, s := range []Size{AWG(19), AWG(-4), AWG(5), Kcmil(0), Kcmil(-3), Kcmil(2001), Metric(0), Metric(-1), Metric(1001 * quantity.SquareMillimeter)} {
		if s.Valid() || s.String() != "no size" || s.Area() != 0 {
			t.Errorf("%+v is taken for a size", s)
		}
	}
}
