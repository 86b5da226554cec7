package program

import (
	"fmt"
	"io"
	"time"
)

// Patience tells after a second, and then every five, that the program is at work, as
// "checking, 5 s"; the function it returns ends that. Nothing else may write to errs
// meanwhile.
func Patience(errs io.Writer, doing string) (stop func()) {
	tick := time.NewTicker(time.Second)
	end := tell(errs, doing, tick.C)
	return func() {
		tick.Stop()
		end()
	}
}

// tell is Patience by somebody else's clock.
func tell(errs io.Writer, doing string, seconds <-chan time.Time) (stop func()) {
	done, ended := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(ended)
		for n := 1; ; n++ {
			select {
			case <-done:
				return
			case <-seconds:
				if n == 1 || n%5 == 0 {
					fmt.Fprintf(errs, "%s, %d s\n", doing, n)
				}
			}
		}
	}()
	return func() { close(done); <-ended }
}
