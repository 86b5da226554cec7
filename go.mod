module example.com/switchleg

go 1.25.0

require (
	github.com/google/go-cmp v0.7.0
	github.com/rogpeppe/go-internal v1.15.0
	go.yaml.in/yaml/v4 v4.0.0
	gonum.org/v1/gonum v0.17.0
	pgregory.net/rapid v1.3.0
)

require (
	golang.org/x/sys v0.30.0 // indirect
	golang.org/x/tools v0.30.0 // indirect
)
