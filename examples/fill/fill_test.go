package main

import (
	"testing"

	"example.com/switchleg/internal/programtest"
)

func TestMain(m *testing.M) { programtest.Main(m, "fill", main) }

// TestScripts runs the program as a person would.
func TestScripts(t *testing.T) { programtest.Scripts(t, nil) }
