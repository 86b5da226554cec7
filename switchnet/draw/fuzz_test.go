package draw

import (
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"
)

// FuzzPictures spells a wiring from bytes and holds all its pictures to a clean layout
// and to well-formed XML. Its corpus is in testdata/fuzz.
func FuzzPictures(f *testing.F) {
	f.Add([]byte{})
	f.Add([]byte("a feed, two places and a light"))
	f.Fuzz(func(t *testing.T, data []byte) {
		choose := spelled(data)
		for _, p := range pictures(t, drawWiring(t, choose, ordinary), choose, &Options{Width: Phone}) {
			wantClean(t, p)
			dec := xml.NewDecoder(strings.NewReader(svgOf(t, p)))
			for {
				if _, err := dec.Token(); errors.Is(err, io.EOF) {
					break
				} else if err != nil {
					t.Fatal(err)
				}
			}
		}
	})
}
