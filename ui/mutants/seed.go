package main

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"strconv"
	"strings"
)

// mutant is one small fault in a file.
type mutant struct {
	pkg        string // as it was asked for
	file       string
	line       int
	start, end int    // the bytes that it replaces
	text       string // what with
	what       string
}

func (m mutant) String() string { return fmt.Sprintf("%s:%d: %s", m.file, m.line, m.what) }

// source is the file with the fault in it.
func (m mutant) source(src []byte) []byte {
	return []byte(string(src[:m.start]) + m.text + string(src[m.end:]))
}

// seeded are all the mutants of a package directory, in order.
func seeded(pkg string) ([]mutant, error) {
	files, err := filepath.Glob(filepath.Join(pkg, "*.go"))
	if err != nil {
		return nil, err
	}
	var out []mutant
	for _, file := range files {
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		src, err := os.ReadFile(file)
		if err != nil {
			return nil, err
		}
		found, err := mutants(file, src)
		if err != nil {
			return nil, err
		}
		for i := range found {
			found[i].pkg = pkg
		}
		out = append(out, found...)
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("there is nothing to turn")
	}
	return out, nil
}

// turned are the operators that a mutant puts in place of another.
var turned = map[token.Token]token.Token{
	token.LSS: token.LEQ, token.LEQ: token.LSS, token.GTR: token.GEQ, token.GEQ: token.GTR,
	token.EQL: token.NEQ, token.NEQ: token.EQL, token.LAND: token.LOR, token.LOR: token.LAND,
}

// mutants turns conditions and moves bounds by one: < and <=, == and !=, && and
// ||, a condition and its opposite, and a whole number within a function by one
// either way, where it is compared with, reckoned with, indexes, or is set.
func mutants(file string, src []byte) ([]mutant, error) {
	fset := token.NewFileSet()
	parsed, err := parser.ParseFile(fset, file, src, parser.SkipObjectResolution)
	if err != nil {
		return nil, err
	}
	s := seeder{file: file, src: src, fset: fset}
	for _, decl := range parsed.Decls {
		if f, ok := decl.(*ast.FuncDecl); ok && f.Body != nil {
			ast.Inspect(f.Body, s.visit)
		}
	}
	return s.out, nil
}

type seeder struct {
	file string
	src  []byte
	fset *token.FileSet
	out  []mutant
}

func (s *seeder) visit(n ast.Node) bool {
	switch n := n.(type) {
	case *ast.BinaryExpr:
		if op, ok := turned[n.Op]; ok {
			s.replace(n.OpPos, len(n.Op.String()), op.String())
		}
		s.move(n.X, n.Y)
	case *ast.IfStmt:
		s.negate(n.Cond)
	case *ast.SwitchStmt:
		if n.Tag == nil {
			for _, c := range n.Body.List {
				for _, e := range c.(*ast.CaseClause).List {
					s.negate(e)
				}
			}
		}
	case *ast.IndexExpr:
		s.move(n.Index)
	case *ast.SliceExpr:
		s.move(n.Low, n.High, n.Max)
	case *ast.CallExpr:
		f, ok := n.Fun.(*ast.Ident)
		switch {
		case ok && (f.Name == "min" || f.Name == "max"):
			s.move(n.Args...)
		case ok && f.Name == "make" && len(n.Args) == 3:
			ast.Inspect(n.Args[1], s.visit)
			return false // a capacity is no bound
		}
	case *ast.AssignStmt:
		s.move(n.Rhs...)
	case *ast.KeyValueExpr:
		s.move(n.Value)
	case *ast.RangeStmt:
		s.move(n.X)
	}
	return true
}

// replace puts text in place of the n bytes from pos on.
func (s *seeder) replace(pos token.Pos, n int, text string) {
	at := s.fset.Position(pos)
	old := string(s.src[at.Offset : at.Offset+n])
	s.out = append(s.out, mutant{
		file: s.file, line: at.Line, start: at.Offset, end: at.Offset + n, text: text,
		what: fmt.Sprintf("%s becomes %s in %s", short(old), short(text), s.lineOf(at)),
	})
}

func (s *seeder) lineOf(at token.Position) string {
	line := s.src[at.Offset-at.Column+1:]
	text, _, _ := strings.Cut(string(line), "\n")
	return strings.TrimSpace(text)
}

func short(text string) string {
	if text, _, more := strings.Cut(text, "\n"); more {
		return text + " …"
	}
	return text
}

// negate turns a condition into its opposite. An equality's is another operator.
func (s *seeder) negate(cond ast.Expr) {
	if b, ok := cond.(*ast.BinaryExpr); ok && (b.Op == token.EQL || b.Op == token.NEQ) {
		return
	}
	from, to := s.fset.Position(cond.Pos()).Offset, s.fset.Position(cond.End()).Offset
	s.replace(cond.Pos(), to-from, "!("+string(s.src[from:to])+")")
}

// move moves whole numbers by one, either way.
func (s *seeder) move(list ...ast.Expr) {
	for _, e := range list {
		lit, ok := e.(*ast.BasicLit)
		if !ok || lit.Kind != token.INT {
			continue
		}
		v, err := strconv.ParseInt(lit.Value, 0, 64)
		if err != nil {
			continue
		}
		for _, by := range []int64{1, -1} {
			s.replace(lit.Pos(), len(lit.Value), fmt.Sprintf("(%d)", v+by))
		}
	}
}
