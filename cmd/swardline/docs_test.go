// Every exported name has a doc comment, and every file says what it is for.

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

func TestEverythingIsDocumented(t *testing.T) {
	top, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	files := 0
	err = filepath.WalkDir(top, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && strings.HasPrefix(d.Name(), ".") && path != top {
			return filepath.SkipDir
		}
		if d.IsDir() || !strings.HasSuffix(path, ".go") {
			return nil
		}
		files++
		set := token.NewFileSet()
		f, err := parser.ParseFile(set, path, nil, parser.ParseComments)
		if err != nil {
			return err
		}
		rel, _ := filepath.Rel(top, path)
		if len(f.Comments) == 0 || f.Comments[0].Pos() > f.Package {
			t.Errorf("%s does not open with what it is for", rel)
		}
		if strings.HasSuffix(path, "_test.go") || f.Name.Name == "main" {
			return nil
		}
		for _, decl := range f.Decls {
			for _, name := range undocumented(decl) {
				t.Errorf("%s: %s has no doc comment", set.Position(decl.Pos()), name)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if files < 50 {
		t.Fatalf("only %d files were looked at", files)
	}
}

// undocumented lists the exported names of a declaration that nothing
// documents.
func undocumented(decl ast.Decl) []string {
	var out []string
	switch d := decl.(type) {
	case *ast.FuncDecl:
		if !d.Name.IsExported() || d.Doc != nil {
			return nil
		}
		if d.Recv != nil && !ast.IsExported(receiver(d.Recv.List[0].Type)) {
			return nil
		}
		// Methods that only serve a standard interface speak for themselves.
		switch d.Name.Name {
		case "Error", "Unwrap", "String", "Len", "Less", "Swap", "Push", "Pop":
			if d.Recv != nil {
				return nil
			}
		}
		out = append(out, d.Name.Name)
	case *ast.GenDecl:
		for _, spec := range d.Specs {
			switch s := spec.(type) {
			case *ast.TypeSpec:
				if s.Name.IsExported() && d.Doc == nil && s.Doc == nil {
					out = append(out, s.Name.Name)
				}
			case *ast.ValueSpec:
				for _, n := range s.Names {
					if n.IsExported() && d.Doc == nil && s.Doc == nil && s.Comment == nil {
						out = append(out, n.Name)
					}
				}
			}
		}
	}
	return out
}

func receiver(e ast.Expr) string {
	switch x := e.(type) {
	case *ast.StarExpr:
		return receiver(x.X)
	case *ast.IndexExpr:
		return receiver(x.X)
	case *ast.Ident:
		return x.Name
	}
	return ""
}
