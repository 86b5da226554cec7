// Package job reads and writes the job file: a file that people write, with what
// is wanted of a job, what is there, or both.
package job
