// Package atomicfile writes files that are either whole or not there.
package atomicfile

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
)

// Write puts data into the named file. It writes a temporary file in the same
// folder, syncs it and renames it, so that a reader never sees half of it and a
// failure leaves what was there before.
func Write(name string, data []byte) (err error) {
	f, err := os.CreateTemp(filepath.Dir(name), ".new-*")
	if err != nil {
		return fmt.Errorf("cannot write %s: %w", name, err)
	}
	defer func() {
		if err != nil {
			err = fmt.Errorf("cannot write %s: %w", name, errors.Join(err, os.Remove(f.Name())))
		}
	}()
	_, err = f.Write(data)
	err = errors.Join(err, f.Chmod(0o644), f.Sync(), f.Close())
	if err != nil {
		return err
	}
	return os.Rename(f.Name(), name)
}

// A File is a file to be written: its name within a folder, and what is in it.
type File struct {
	Name string
	Data []byte
}

// WriteAll makes the folder if it is not there and writes all files into it, each
// whole. It stops at the first that cannot be written.
func WriteAll(dir string, files []File) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fmt.Errorf("cannot make the folder %s: %w", dir, err)
	}
	for _, f := range files {
		if f.Name != filepath.Base(f.Name) {
			return fmt.Errorf("cannot write %q: it is not a plain file name", f.Name)
		}
		if err := Write(filepath.Join(dir, f.Name), f.Data); err != nil {
			return err
		}
	}
	return nil
}
