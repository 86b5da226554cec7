package trace

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"time"

	"example.com/switchleg/internal/cautions"
)

// Write writes the strategy as a card to take along: what it promises and leaves out,
// the cautions, then every test with its steps, what is refused there and was not before,
// and where each answer leads, and at the ends what is left and how it is put right.
// Tests are numbered from the root, each way to its end before the next. The text is for
// reading and not stable. Nothing is written if a cure cannot be told.
func (p *Strategy) Write(w io.Writer) error {
	var b bytes.Buffer
	round := func(d time.Duration) time.Duration { return d.Round(time.Second) }
	fmt.Fprintf(&b, "%s\n\n", cautions.Brief())
	fmt.Fprintf(&b, "At most %d tests and %s of work; %.1f tests and %s are expected.\n", p.MostTests, round(p.MostEffort), p.MeanTests, round(p.MeanEffort))
	b.WriteString("At an end take every test lead off, and land every neutral that was lifted, before anything is energized.\n")
	if p.LeftOut > 0 {
		fmt.Fprintf(&b, "Left out are %d ways, the least likely: it comes to one of them in %s of all cases, and what is promised does not hold there.\n", p.LeftOut, percent(p.Share))
	}
	if len(p.Root.Refused) > 0 {
		b.WriteString("What must not be done is said where it begins or its reason changes; it holds from there until a test asks for it.\n")
	}
	if p.Cut {
		b.WriteString("For some test the search met its limit, so that there may be a better one.\n")
	}
	number := map[*Branch]int{}
	var count func(x *Branch)
	count = func(x *Branch) {
		if len(x.Ways) > 0 {
			number[x] = len(number) + 1
		}
		for _, y := range x.Ways {
			count(y.Then)
		}
	}
	count(p.Root)
	if err := p.write(&b, p.Root, number, nil, ""); err != nil {
		return err
	}
	_, err := w.Write(b.Bytes())
	return err
}

// write writes a test and all that follow from it. What was refused before it, in the
// same words, is not said again.
func (p *Strategy) write(b *bytes.Buffer, x *Branch, number map[*Branch]int, before []string, after string) error {
	if len(x.Ways) == 0 {
		if x == p.Root {
			return p.end(b, x, "")
		}
		return nil
	}
	fmt.Fprintf(b, "\nTest %d%s\n", number[x], after)
	for i, s := range x.Test.Steps() {
		fmt.Fprintf(b, "  %d. %s\n", i+1, s)
	}
	refused := SayRefused(x.Refused)
	for _, r := range refused {
		if !slices.Contains(before, r) {
			fmt.Fprintf(b, "  Not now: %s.\n", r)
		}
	}
	for _, y := range x.Ways {
		switch {
		case len(y.Then.Ways) > 0:
			fmt.Fprintf(b, "  - %s: test %d\n", y.Answer, number[y.Then])
		default:
			fmt.Fprintf(b, "  - %s:\n", y.Answer)
			if err := p.end(b, y.Then, "    "); err != nil {
				return err
			}
		}
	}
	for _, y := range x.Ways {
		if err := p.write(b, y.Then, number, refused, fmt.Sprintf(" (of test %d, %s)", number[x], outcome(y.Answer.Of, y.Answer.comes))); err != nil {
			return err
		}
	}
	return nil
}

// end writes what is left at an end.
func (p *Strategy) end(b *bytes.Buffer, x *Branch, indent string) error {
	switch x.Status {
	case NothingWrong:
		fmt.Fprintf(b, "%snothing that these tests can show; as far as they go it may be any of these:\n", indent)
	case Searching:
		fmt.Fprintf(b, "%sleft out here\n", indent)
		return nil
	case NoTest:
		fmt.Fprintf(b, "%sno test that is allowed tells these apart:\n", indent)
	case Contradiction, Ended:
		fmt.Fprintf(b, "%s%v\n", indent, x.Status)
		return nil
	}
	for _, r := range SayRefused(x.Refused) {
		fmt.Fprintf(b, "%s  Not now: %s.\n", indent, r)
	}
	for _, f := range x.Fits {
		for _, cause := range f.Class.Causes {
			fmt.Fprintf(b, "%s%s\n", indent, cause)
			cure, err := p.c.Cure(cause)
			if err != nil {
				return err
			}
			for _, d := range cure.Does {
				fmt.Fprintf(b, "%s  cure, locked out and every box it names proven dead: %s\n", indent, d)
			}
		}
	}
	return nil
}
