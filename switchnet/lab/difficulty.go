package lab

import (
	"fmt"
	"math/bits"
	"strconv"
	"strings"
)

// A Difficulty is what was measured on an exercise.
type Difficulty struct {
	// Classes is how many answers that differ in what they come to are left by what
	// the sheet shows at once; 1 if it leaves one, which is then to be worked out.
	Classes int
	// Steps is how many steps a student takes who makes the best of each: tests,
	// conductors to land, values to work out, as the task documents.
	Steps int
	// Places is the most places from which a light of the exercise is switched.
	Places int
	// Gangs is how many of its boxes hold two devices or more.
	Gangs int
}

// Level returns one figure for how hard an exercise is: one for each step, one for each
// doubling of the classes, two for each place beyond the first, one for each ganged box.
// The parts are measured; the weights are a judgement. Levels of different tasks are not
// comparable.
func (d Difficulty) Level() int {
	doublings := 0
	if d.Classes > 1 {
		doublings = bits.Len(uint(d.Classes - 1))
	}
	return d.Steps + doublings + 2*max(0, d.Places-1) + d.Gangs
}

// String returns "4 steps, 7 classes at first sight, 3 places, 1 ganged box". The text is
// for reading and not stable.
func (d Difficulty) String() string {
	return fmt.Sprintf("%s, %s at first sight, %s, %s", count(d.Steps, "step", "steps"), count(d.Classes, "class", "classes"),
		count(d.Places, "place", "places"), count(d.Gangs, "ganged box", "ganged boxes"))
}

func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// A Band is a range of levels, both ends included. The zero Band is any level; Most of 0
// means no upper end.
type Band struct{ Least, Most int }

// Has reports whether a difficulty lies within the band.
func (b Band) Has(d Difficulty) bool { return b.off(d) == 0 }

// off returns by how many levels a difficulty lies outside of the band.
func (b Band) off(d Difficulty) int {
	switch l := d.Level(); {
	case l < b.Least:
		return b.Least - l
	case b.Most > 0 && l > b.Most:
		return l - b.Most
	}
	return 0
}

// String returns "4 to 9", "4 or more", "any".
func (b Band) String() string {
	switch {
	case b == Band{}:
		return "any"
	case b.Most == 0:
		return fmt.Sprintf("%d or more", b.Least)
	}
	return fmt.Sprintf("%d to %d", b.Least, b.Most)
}

// ParseBand reads what String writes, and one figure for a band of one level.
func ParseBand(s string) (Band, error) {
	fail := func() (Band, error) {
		return Band{}, fmt.Errorf("lab: %q is no band of levels: write %q, %q, %q or %q", s, "4 to 9", "4 or more", "7", "any")
	}
	number := func(w string) int {
		n, err := strconv.Atoi(w)
		if err != nil || n < 0 || n > 1_000_000 {
			return -1
		}
		return n
	}
	w := strings.Fields(s)
	var b Band
	switch {
	case len(w) == 1 && w[0] == "any":
		return Band{}, nil
	case len(w) == 1:
		b.Least = number(w[0])
		b.Most = b.Least
		if b.Most == 0 {
			return fail() // a Most of 0 is no end
		}
	case len(w) == 3 && w[1] == "or" && w[2] == "more":
		b.Least = number(w[0])
	case len(w) == 3 && w[1] == "to":
		b.Least, b.Most = number(w[0]), number(w[2])
		if b.Most < 1 || b.Most < b.Least {
			return fail()
		}
	default:
		return fail()
	}
	if b.Least < 0 {
		return fail()
	}
	return b, nil
}
