package conductor

import (
	"cmp"
	"fmt"
	"strconv"
	"strings"

	"example.com/switchleg/conductor/quantity"
)

// Size is the size of a conductor: a gauge number (AWG), a number of thousand
// circular mils (kcmil), or a metric cross-section (mm2). It is comparable; the
// zero Size is no size. The same metal under another system is another Size,
// because the tables and the trade keep the systems apart.
type Size struct {
	system sizeSystem
	number int32 // gauge number (1/0 is 0, 2/0 is -1), kcmil, or square micrometers
}

type sizeSystem uint8

const (
	gauge sizeSystem = iota + 1
	kcmil
	metric
)

const (
	thinnestGauge = 18
	thickestGauge = -3 // 4/0
	thickestKcmil = 2000
	thickestMM2   = 1000
)

// gaugeMils is the area in circular mils of each gauge number from 4/0 (index
// 0) to 18, as NEC Chapter 9 Table 8 rounds it. A zero is a gauge that building
// wire is not made in.
var gaugeMils = [thinnestGauge - thickestGauge + 1]quantity.CircularMils{
	211600, 167800, 133100, 105600, // 4/0 to 1/0
	83690, 66360, 52620, 41740, 0, 26240, 0, 16510, 0, 10380, // 1 to 10
	0, 6530, 0, 4110, 0, 2580, 0, 1620, // 11 to 18
}

// AWG returns the size of gauge number n: 18, 16, 14, 12, 10, 8, 6, 4, 3, 2, 1,
// then 0 for 1/0 and -1, -2, -3 for 2/0, 3/0 and 4/0. Another n gives the zero
// Size.
func AWG(n int) Size {
	if n < thickestGauge || n > thinnestGauge || gaugeMils[n-thickestGauge] == 0 {
		return Size{}
	}
	return Size{gauge, int32(n)}
}

// Kcmil returns the size of n thousand circular mils, 1 to 2000. Another n gives
// the zero Size.
func Kcmil(n int) Size {
	if n < 1 || n > thickestKcmil {
		return Size{}
	}
	return Size{kcmil, int32(n)}
}

// Metric returns the size of a metric cross-section, up to 1000 mm2. An area that
// is not positive or is larger gives the zero Size.
func Metric(area quantity.Area) Size {
	if area <= 0 || area > thickestMM2*quantity.SquareMillimeter {
		return Size{}
	}
	return Size{metric, int32(area)}
}

// ParseSize returns the size written "14 AWG", "1/0 AWG", "250 kcmil" or
// "1.5 mm2". A bare number is refused: 4 is a gauge in one country and a
// cross-section in another.
func ParseSize(text string) (Size, error) {
	trimmed := strings.TrimSpace(text)
	if number, ok := strings.CutSuffix(trimmed, "AWG"); ok {
		if s := parseGauge(strings.TrimSpace(number)); s.Valid() {
			return s, nil
		}
		return Size{}, fmt.Errorf("conductor size %q: building wire comes in 18, 16, 14, 12, 10, 8, 6, 4, 3, 2, 1, 1/0, 2/0, 3/0 and 4/0 AWG", clip(text))
	}
	if number, ok := strings.CutSuffix(trimmed, "kcmil"); ok {
		n, err := strconv.ParseUint(strings.TrimSpace(number), 10, 16)
		if s := Kcmil(int(n)); err == nil && s.Valid() {
			return s, nil
		}
		return Size{}, fmt.Errorf("conductor size %q: write a whole number of kcmil from 1 to %d", clip(text), thickestKcmil)
	}
	if strings.HasSuffix(trimmed, "mm2") || strings.HasSuffix(trimmed, "mm²") {
		area, err := quantity.ParseArea(trimmed)
		if s := Metric(area); err == nil && s.Valid() {
			return s, nil
		}
		return Size{}, fmt.Errorf("conductor size %q: write a cross-section above 0 and up to %d mm2", clip(text), thickestMM2)
	}
	return Size{}, fmt.Errorf(`conductor size %q: write "14 AWG", "1/0 AWG", "250 kcmil" or "1.5 mm2"`, clip(text))
}

// parseGauge returns the gauge size of "14" or "1/0", or the zero Size.
func parseGauge(text string) Size {
	if aughts, ok := strings.CutSuffix(text, "/0"); ok {
		if len(aughts) == 1 && aughts[0] >= '1' && aughts[0] <= '4' {
			return AWG(1 - int(aughts[0]-'0'))
		}
		return Size{}
	}
	n, err := strconv.ParseUint(text, 10, 8)
	if err != nil || n == 0 || strings.HasPrefix(text, "0") {
		return Size{}
	}
	return AWG(int(n))
}

// Valid reports whether s is a size, not the zero Size.
func (s Size) Valid() bool { return s.system != 0 }

// String returns the size as ParseSize reads it, or "no size".
func (s Size) String() string {
	switch s.system {
	case gauge:
		return s.gaugeNumber() + " AWG"
	case kcmil:
		return strconv.Itoa(int(s.number)) + " kcmil"
	case metric:
		return quantity.Area(s.number).In(quantity.SquareMillimeter)
	}
	return "no size"
}

// gaugeNumber returns "14" or "1/0".
func (s Size) gaugeNumber() string {
	if s.number <= 0 {
		return strconv.Itoa(1-int(s.number)) + "/0"
	}
	return strconv.Itoa(int(s.number))
}

// MarshalText returns the text of String; the zero Size is an error.
func (s Size) MarshalText() ([]byte, error) {
	if !s.Valid() {
		return nil, fmt.Errorf("no conductor size")
	}
	return []byte(s.String()), nil
}

// UnmarshalText reads what ParseSize reads; on an error s is unchanged.
func (s *Size) UnmarshalText(text []byte) error {
	parsed, err := ParseSize(string(text))
	if err == nil {
		*s = parsed
	}
	return err
}

// CircularMils returns the nominal area of a gauge or kcmil size, as conductor
// tables round it, and false for a metric size.
func (s Size) CircularMils() (quantity.CircularMils, bool) {
	switch s.system {
	case gauge:
		return gaugeMils[s.number-thickestGauge], true
	case kcmil:
		return quantity.CircularMils(s.number) * quantity.KCircularMil, true
	}
	return 0, false
}

// Area returns the cross-section: exact for a metric size, and for the others
// the nominal circular mils at pi/4 square mils each, rounded to the square
// micrometer. The zero Size has no area.
func (s Size) Area() quantity.Area {
	if s.system == metric {
		return quantity.Area(s.number)
	}
	mils, _ := s.CircularMils()
	const squareMicrometersPerThousandMils = 506_707 // 1000 * pi/4 * 25.4^2
	return quantity.Area((int64(mils)*squareMicrometersPerThousandMils + 500) / 1000)
}

// Compare orders sizes by area, smallest first, the zero Size before all; sizes
// of equal area in different systems go AWG, kcmil, mm2. It returns -1, 0 or 1.
func (s Size) Compare(t Size) int {
	return cmp.Or(cmp.Compare(s.Area(), t.Area()), cmp.Compare(s.system, t.system))
}
