package program_test

import (
	"context"
	"errors"
	"io"
	"strings"
	"testing"

	"example.com/switchleg/internal/program"
)

// Lines come one by one, the last without its line break too; one that is too long is
// an error.
func TestLines(t *testing.T) {
	l := program.NewLines(strings.NewReader("one\r\n\ntwo\n"+strings.Repeat("x", 20)), 10)
	defer l.Close()
	for _, want := range []string{"one", "", "two"} {
		if got, err := l.Next(t.Context()); got != want || err != nil {
			t.Errorf("%q, %v; want %q", got, err, want)
		}
	}
	if _, err := l.Next(t.Context()); err == nil || !strings.Contains(err.Error(), "too long") {
		t.Errorf("a line of 20 bytes where 10 are allowed: %v", err)
	}
	l = program.NewLines(strings.NewReader("last"), 10)
	defer l.Close()
	if got, err := l.Next(t.Context()); got != "last" || err != nil {
		t.Errorf("%q, %v", got, err)
	}
	if _, err := l.Next(t.Context()); !errors.Is(err, io.EOF) {
		t.Errorf("after the last: %v", err)
	}
}

// Whoever leaves while nothing is typed is not held up.
func TestLinesLeave(t *testing.T) {
	in, _ := io.Pipe() // nothing ever comes
	l := program.NewLines(in, 10)
	defer l.Close()
	ctx, cancel := context.WithCancel(t.Context())
	go cancel()
	if _, err := l.Next(ctx); !errors.Is(err, context.Canceled) {
		t.Errorf("%v; want canceled", err)
	}
	in.Close()
}
