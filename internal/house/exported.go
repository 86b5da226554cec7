package house

import (
	"go/ast"
	"go/token"
	"path"
	"slices"
	"strconv"
	"strings"
)

// exported checks that no exported declaration of a file shows a type of a hidden
// module: signatures of functions and methods, types with their exported fields and
// methods, constants and variables with what they are made from.
func (c *checker) exported(f file) {
	names := map[string]string{} // what a hidden package is called here
	for _, spec := range f.ast.Imports {
		target, _ := strconv.Unquote(spec.Path.Value)
		if !slices.ContainsFunc(hidden, func(m string) bool { return under(target, m) }) {
			continue
		}
		name := packageName(target)
		if spec.Name != nil {
			name = spec.Name.Name
		}
		names[name] = target
	}
	if len(names) == 0 {
		return
	}
	if target, ok := names["."]; ok {
		c.add(f.name, "imports %s by a dot, so that its types cannot be told from our own", target)
	}
	show := func(what string, nodes ...ast.Node) {
		for _, n := range nodes {
			ast.Inspect(n, func(n ast.Node) bool {
				sel, ok := n.(*ast.SelectorExpr)
				if !ok {
					return true
				}
				if x, ok := sel.X.(*ast.Ident); ok && names[x.Name] != "" {
					c.at(sel.Pos(), "shows %s.%s in %s; types of %s stay inside", x.Name, sel.Sel.Name, what, names[x.Name])
				}
				return true
			})
		}
	}
	for _, d := range f.ast.Decls {
		switch d := d.(type) {
		case *ast.FuncDecl:
			if d.Name.IsExported() && (d.Recv == nil || receiverExported(d.Recv)) {
				show("the signature of "+d.Name.Name, d.Type)
			}
		case *ast.GenDecl:
			for _, s := range d.Specs {
				switch s := s.(type) {
				case *ast.TypeSpec:
					if s.Name.IsExported() {
						show("type "+s.Name.Name, visible(s)...)
					}
				case *ast.ValueSpec:
					if !slices.ContainsFunc(s.Names, func(n *ast.Ident) bool { return n.IsExported() }) {
						continue
					}
					what := d.Tok.String() + " " + s.Names[0].Name
					if s.Type != nil {
						show(what, s.Type)
					} else if d.Tok == token.VAR {
						for _, v := range s.Values {
							show(what, v)
						}
					}
				}
			}
		}
	}
}

// packageName guesses the name of a package from its path: the last element that is
// not a major version.
func packageName(target string) string {
	base := path.Base(target)
	if len(base) > 1 && base[0] == 'v' && strings.Trim(base[1:], "0123456789") == "" {
		base = path.Base(path.Dir(target))
	}
	return base
}

func receiverExported(recv *ast.FieldList) bool {
	t := recv.List[0].Type
	for {
		switch x := t.(type) {
		case *ast.StarExpr:
			t = x.X
		case *ast.IndexExpr:
			t = x.X
		case *ast.IndexListExpr:
			t = x.X
		case *ast.Ident:
			return x.IsExported()
		default:
			return false
		}
	}
}

// visible returns the parts of a type that its users see: of a struct the exported
// and embedded fields, of anything else all.
func visible(s *ast.TypeSpec) []ast.Node {
	var nodes []ast.Node
	if s.TypeParams != nil {
		nodes = append(nodes, s.TypeParams)
	}
	st, ok := s.Type.(*ast.StructType)
	if !ok {
		return append(nodes, s.Type)
	}
	for _, field := range st.Fields.List {
		if len(field.Names) == 0 || slices.ContainsFunc(field.Names, func(n *ast.Ident) bool { return n.IsExported() }) {
			nodes = append(nodes, field.Type)
		}
	}
	return nodes
}
