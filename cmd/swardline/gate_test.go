// The one gate: nothing but a plan's own Operation makes a coordinate
// operation, and nothing takes coordinates from one system to another around
// it.

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

// mayMove are the functions that may do what is otherwise the gate's alone, by
// file and name, with the reason.
var mayMove = map[string]string{
	"schema/move.go best NewOperation": "the gate itself: it knows the plan's frame, places and epoch",

	"validate/drift_history.go shiftGeometry ToGeodetic+FromGeodetic": "over a site grid on the plan's own base: one datum",
}

func TestNothingGoesAroundTheGate(t *testing.T) {
	seen := map[string]bool{}
	files, uses := 0, 0
	err := filepath.WalkDir("../..", func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel := filepath.ToSlash(strings.TrimPrefix(path, filepath.FromSlash("../../")))
		if d.IsDir() {
			switch rel {
			case "crs", "testdata", ".git":
				return fs.SkipDir // crs is behind the gate
			}
			return nil
		}
		if !strings.HasSuffix(rel, ".go") || strings.HasSuffix(rel, "_test.go") {
			return nil
		}
		files++
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
		if err != nil {
			return err
		}
		for _, decl := range file.Decls {
			name := "(package)"
			if f, ok := decl.(*ast.FuncDecl); ok {
				name = f.Name.Name
			}
			found := map[string]bool{}
			ast.Inspect(decl, func(n ast.Node) bool {
				// Any mention counts: a function handed on can be called
				// elsewhere.
				if s, ok := n.(*ast.SelectorExpr); ok {
					found[s.Sel.Name] = true
				}
				return true
			})
			var what []string
			for _, w := range []string{"NewOperation", "NewPlugin", "Transformations", "FindTransformation"} {
				if found[w] {
					what = append(what, w)
				}
			}
			// Down from one system and up into another is a datum step of
			// nothing.
			if found["ToGeodetic"] && found["FromGeodetic"] {
				what = append(what, "ToGeodetic+FromGeodetic")
			}
			for _, w := range what {
				key := rel + " " + name + " " + w
				uses++
				if mayMove[key] == "" {
					t.Errorf("%s: %s uses %s: coordinates move through schema's Plan.Operation alone", rel, name, w)
				}
				seen[key] = true
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if files < 100 || uses == 0 {
		t.Errorf("%d files and %d uses were looked at: the test looks in the wrong place", files, uses)
	}
	for key := range mayMove {
		if !seen[key] {
			t.Errorf("%q is allowed and not there any more", key)
		}
	}
}
