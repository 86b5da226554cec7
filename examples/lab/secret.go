package main

import (
	"crypto/rand"

	"example.com/switchleg/switchnet/lab/course"
)

// newSecret returns a secret that nobody can guess: the one thing here that is not the same
// each time.
func newSecret() (course.Secret, error) { return course.NewSecret(rand.Reader) }
