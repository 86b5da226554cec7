// Package cautions owns the words of caution that stand on everything that may lead
// a person to touch wiring.
package cautions

import (
	"fmt"
	"io"
	"strings"
)

// Heading is the line above the cautions.
const Heading = "Before anyone touches a conductor"

// Work returns the cautions for work on wiring, in the order in which they are to be
// read. The slice is the caller's.
func Work() []string {
	return []string{
		"De-energize: switch off every circuit that enters the box, not only the one you came for, and lock out and tag each breaker.",
		"Prove it dead: prove the tester on a known live source, test every conductor to every other and to ground, then prove the tester again on the live source.",
		"Follow the code as adopted where the job is, with its local amendments; its inspector has the last word, and nothing here is a substitute for it.",
		"This is work for a licensed electrician, or for whoever the law of the place permits to do it. If in doubt, stop and ask one.",
		"All of this is computed from what was written down; nothing here was measured. Check it against the wiring as built before energizing.",
	}
}

// Write prints the heading and the numbered cautions, wrapped at width columns.
func Write(w io.Writer, width int) error {
	var b strings.Builder
	b.WriteString(Heading + "\n")
	for i, c := range Work() {
		lead := fmt.Sprintf("  %d. ", i+1)
		column := len(lead)
		b.WriteString(lead)
		for k, word := range strings.Fields(c) {
			switch {
			case k == 0:
			case column+1+len(word) > width:
				b.WriteString("\n     ")
				column = 5
			default:
				b.WriteByte(' ')
				column++
			}
			b.WriteString(word)
			column += len(word)
		}
		b.WriteByte('\n')
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// Brief returns the cautions in two sentences, for what has no room for all of them:
// a picture that somebody may carry to a box alone.
func Brief() string {
	return "Before touching a conductor: de-energize, lock out and tag every circuit that enters the box, and prove it dead with a tester proven before and after. " +
		"As drawn, not as measured; the code as locally adopted and its inspector prevail; work for licensed people."
}
