// The size of functions: what is longer than a screen or two, or branches more
// often, does several things and is split by what they are.

package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"strings"
	"testing"
)

const mostLines, mostBranches = 100, 40

// branches counts the ways through a function beside the straight one: if, for,
// case and each && or ||; a default or an else is the way that is left.
func branches(fn ast.Node) int {
	n := 0
	ast.Inspect(fn, func(x ast.Node) bool {
		switch x := x.(type) {
		case *ast.IfStmt, *ast.ForStmt, *ast.RangeStmt:
			n++
		case *ast.CaseClause:
			if x.List != nil {
				n++
			}
		case *ast.CommClause:
			if x.Comm != nil {
				n++
			}
		case *ast.BinaryExpr:
			if x.Op == token.LAND || x.Op == token.LOR {
				n++
			}
		}
		return true
	})
	return n
}

func TestFunctionsAreSmall(t *testing.T) {
	seen := 0
	err := filepath.WalkDir("../..", func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && (d.Name() == "testdata" || strings.HasPrefix(d.Name(), ".") && len(d.Name()) > 2) {
			return filepath.SkipDir
		}
		if !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return nil
		}
		files := token.NewFileSet()
		file, err := parser.ParseFile(files, path, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		for _, decl := range file.Decls {
			fn, ok := decl.(*ast.FuncDecl)
			if !ok {
				continue
			}
			seen++
			at := files.Position(fn.Pos())
			if n := files.Position(fn.End()).Line - at.Line + 1; n > mostLines {
				t.Errorf("%s: %s has %d lines, more than %d: split it by what it does", at, fn.Name.Name, n, mostLines)
			}
			if n := branches(fn); n > mostBranches {
				t.Errorf("%s: %s has %d branches, more than %d: split it by what it does", at, fn.Name.Name, n, mostBranches)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if seen < 1000 {
		t.Errorf("only %d functions were found", seen)
	}
}

// TestBranches: the count at its limits.
func TestBranches(t *testing.T) {
	for _, c := range []struct {
		body string
		want int
	}{
		{"", 0},
		{"if a { } else { }", 1},
		{"if a && b || c { }", 3},
		{"for range a { }", 1},
		{"for a { }", 1},
		{"switch a { case 1, 2: case 3: default: }", 2},
		{"switch a.(type) { case int: }", 1},
		{"select { case <-a: default: }", 1},
		{"f := func() { if a { } }; f()", 1},
	} {
		file, err := parser.ParseFile(token.NewFileSet(), "", "package p; func f() { "+c.body+" }", 0)
		if err != nil {
			t.Fatal(err)
		}
		if got := branches(file); got != c.want {
			t.Errorf("%s: %d branches, want %d", c.body, got, c.want)
		}
	}
}
