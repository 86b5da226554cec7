package program

import (
	"strings"
	"testing"
	"time"
)

// It speaks after the first second and every fifth, and not once it was stopped.
func TestPatience(t *testing.T) {
	var errs strings.Builder
	seconds := make(chan time.Time)
	stop := tell(&errs, "checking", seconds)
	for range 11 {
		seconds <- time.Time{}
	}
	stop()
	select {
	case seconds <- time.Time{}:
		t.Error("somebody still listens to the clock")
	default:
	}
	if got, want := errs.String(), "checking, 1 s\nchecking, 5 s\nchecking, 10 s\n"; got != want {
		t.Errorf("it says %q, want %q", got, want)
	}
	Patience(&errs, "checking")() // ends
}
