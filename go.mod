module github.com/ripwright/ripwright

go 1.26
