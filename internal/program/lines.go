package program

import (
	"bufio"
	"context"
	"fmt"
	"io"
)

// Lines reads lines that somebody types or that come through a pipe. Make one with
// NewLines; Close it when no more are wanted. It is for one goroutine.
type Lines struct {
	ask chan struct{}
	got chan typed
}

type typed struct {
	line string
	err  error
}

// NewLines returns a reader of lines of at most the given number of bytes.
func NewLines(in io.Reader, most int) *Lines {
	l := &Lines{ask: make(chan struct{}), got: make(chan typed, 1)}
	go func() {
		scan := bufio.NewScanner(in)
		scan.Buffer(nil, most+1)
		for range l.ask {
			r := typed{err: io.EOF}
			if scan.Scan() {
				r = typed{line: scan.Text()}
			} else if err := scan.Err(); err != nil {
				r.err = fmt.Errorf("cannot read the lines: %w", err)
			}
			l.got <- r
		}
	}()
	return l
}

// Next returns the next line without its end, and io.EOF after the last. It gives up
// waiting when the context ends, so that whoever types need not finish a line to leave;
// nothing can be read then.
func (l *Lines) Next(ctx context.Context) (string, error) {
	select {
	case l.ask <- struct{}{}:
	case <-ctx.Done():
		return "", ctx.Err()
	}
	select {
	case r := <-l.got:
		return r.line, r.err
	case <-ctx.Done():
		return "", ctx.Err()
	}
}

// Close ends the reading, at the latest with the line that is waited for.
func (l *Lines) Close() { close(l.ask) }
