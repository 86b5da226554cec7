package quantity

import (
	"math"
	"math/big"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// dimensions lists every dimension the package prints and parses.
var dimensions = []*dimension{
	&length, &volume, &area, &circularMils, &voltage, &current, &power, &apparentPower,
	&resistance, &resistancePerLength, &voltDropRate, &capacitancePerLength, &temperature, &ratio,
}

func anyValue() *rapid.Generator[int64] {
	return rapid.OneOf(rapid.Int64(), rapid.Int64Range(-1_000_000_000_000, 1_000_000_000_000),
		rapid.SampledFrom([]int64{0, 1, -1, math.MaxInt64, math.MinInt64}))
}

// Every value survives its own text, in every dimension.
func TestLawTextRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.SampledFrom(dimensions).Draw(t, "dimension")
		v := anyValue().Draw(t, "value")
		text := d.shortest(v)
		if back, err := d.parse(text); err != nil || back != v {
			t.Fatalf("%s %d prints as %q, which reads as %d, %v", d.noun, v, text, back, err)
		}
	})
}

// Wherever In prints exactly, the text reads back, in every unit.
func TestLawExactTextIsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.SampledFrom(dimensions).Draw(t, "dimension")
		u := rapid.SampledFrom(d.units).Draw(t, "unit")
		v := anyValue().Draw(t, "value")
		number, exact := decimal(v, &u, maxPlaces)
		back, err := d.parse(number + " " + u.spell[0])
		if exact && (err != nil || back != v) {
			t.Fatalf("%d is said to be exactly %q %s, which reads as %d, %v", v, number, u.spell[0], back, err)
		}
	})
}

// Rendering agrees with arbitrary-precision rationals: nearest, half to even.
func TestLawRoundingAgreesWithRationals(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.SampledFrom(dimensions).Draw(t, "dimension")
		u := rapid.SampledFrom(d.units).Draw(t, "unit")
		v := anyValue().Draw(t, "value")
		places := rapid.IntRange(0, maxPlaces).Draw(t, "places")
		number, exact := decimal(v, &u, places)
		want, wantExact := oracle(v, u, places)
		if number != want || exact != wantExact {
			t.Fatalf("decimal(%d, %s, %d) = %q, %v; want %q, %v", v, u.spell[0], places, number, exact, want, wantExact)
		}
	})
}

func oracle(v int64, u unit, places int) (string, bool) {
	numerator := new(big.Int).Sub(big.NewInt(v), big.NewInt(u.zero))
	negative := numerator.Sign() < 0
	numerator.Abs(numerator)
	numerator.Mul(numerator, new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(places)), nil))
	q, r := new(big.Int).QuoRem(numerator, big.NewInt(u.size), new(big.Int))
	twice := new(big.Int).Lsh(r, 1)
	if c := twice.Cmp(big.NewInt(u.size)); c > 0 || c == 0 && q.Bit(0) == 1 {
		q.Add(q, big.NewInt(1))
	}
	digits := q.String()
	if places > 0 {
		digits = strings.Repeat("0", max(0, places+1-len(digits))) + digits
		digits = strings.TrimRight(digits[:len(digits)-places]+"."+digits[len(digits)-places:], "0")
		digits = strings.TrimSuffix(digits, ".")
	}
	if negative && q.Sign() != 0 {
		digits = "-" + digits
	}
	return digits, r.Sign() == 0
}

// Parsing agrees with arbitrary-precision rationals on any plain decimal.
func TestLawParsingAgreesWithRationals(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.SampledFrom(dimensions).Draw(t, "dimension")
		u := rapid.SampledFrom(d.units).Draw(t, "unit")
		number := rapid.StringMatching(`-?[0-9]{1,21}(\.[0-9]{1,21})?`).Draw(t, "number")
		got, problem := scaleDecimal(number, u.size, u.zero)
		exact, ok := new(big.Rat).SetString(number)
		if !ok {
			t.Fatalf("oracle cannot read %q", number)
		}
		exact.Mul(exact, new(big.Rat).SetInt64(u.size)).Add(exact, new(big.Rat).SetInt64(u.zero))
		fits := exact.IsInt() && exact.Num().IsInt64()
		if fits != (problem == "") || fits && got != exact.Num().Int64() {
			t.Fatalf("%q %s = %d, %q; want %v", number, u.spell[0], got, problem, exact)
		}
	})
}

// Scale agrees with arbitrary-precision rationals where it does not saturate.
func TestLawScale(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q, r := anyValue().Draw(t, "q"), anyValue().Draw(t, "r")
		got, exact := Scale(Current(q), Ratio(r))
		product := new(big.Rat).SetFrac(new(big.Int).Mul(big.NewInt(q), big.NewInt(r)), big.NewInt(int64(Whole)))
		off := new(big.Rat).Sub(product, new(big.Rat).SetInt64(int64(got)))
		off.Abs(off)
		if exact != (off.Sign() == 0) {
			t.Fatalf("Scale(%d, %d) = %d says exact %v, off by %v", q, r, got, exact, off)
		}
		saturates := product.Abs(product).Cmp(new(big.Rat).SetInt64(math.MaxInt64)) >= 0
		if !saturates && off.Cmp(big.NewRat(1, 2)) > 0 {
			t.Fatalf("Scale(%d, %d) = %d, off by %v", q, r, got, off)
		}
	})
}

// A text never means two things: no spelling stands twice in a dimension, and
// every spelling the parser accepts is reached by its own unit.
func TestSpellingsAreDistinct(t *testing.T) {
	for _, d := range dimensions {
		seen := map[string]bool{}
		for i := range d.units {
			u := &d.units[i]
			if u.size <= 0 || u.zero > 0 {
				t.Errorf("%s %s: size %d, zero %d", d.noun, u.spell[0], u.size, u.zero)
			}
			for _, s := range u.spell {
				if seen[s] {
					t.Errorf("%s: %q stands twice", d.noun, s)
				}
				seen[s] = true
				if got, _ := d.find(s); got != u {
					t.Errorf("%s: %q finds another unit", d.noun, s)
				}
			}
		}
		if _, err := d.parse(d.example); err != nil {
			t.Errorf("%s: its own example: %v", d.noun, err)
		}
	}
}

func FuzzParse(f *testing.F) {
	for _, seed := range []string{"34 ft", "10.4 m", "20.3 cu in", "344 mL", "-40 F", "1.50 mm2", "3 %", "1e3 m", "9223372036854775807 uV",
		"-9223372036854775808 uV", "00.1 ft", "0.000000000000000000001 m", "5 \u03a9", "12 ft 6 in", "\x00", "1.1.1 A"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, d := range dimensions {
			v, err := d.parse(text)
			if err != nil {
				if err.Error() == "" {
					t.Errorf("%q: empty error", text)
				}
				continue
			}
			if back, err := d.parse(d.shortest(v)); err != nil || back != v {
				t.Errorf("%s %q = %d prints as %q, which reads as %d, %v", d.noun, text, v, d.shortest(v), back, err)
			}
		}
		if r, err := ParseFactor(text); err == nil {
			if back, err := ParseFactor(r.Factor()); err != nil || back != r {
				t.Errorf("factor %q prints as %q, which reads as %d, %v", text, r.Factor(), back, err)
			}
		}
	})
}
