// The columns of a table, from the words of its CREATE TABLE.

package sqlite

import (
	"strconv"
	"strings"
)

// Table is one table of a database.
type Table struct {
	Name    string
	Columns []Column
	// RowID is the column that stands for the rowid, -1 for none.
	RowID   int
	root    int64
	refused string // why its rows are not read
}

// Column is one column of a table.
type Column struct {
	Name string
	Type string // as declared, in capitals
	// Default is what rows hold that are older than the column.
	Default Value
}

// Column returns the index of a column by its name in any case, -1 for none.
func (t *Table) Column(name string) int {
	for i, c := range t.Columns {
		if strings.EqualFold(c.Name, name) {
			return i
		}
	}
	return -1
}

// tokens splits SQL into words, quoted names (with their quotes) and single
// signs; comments are left out.
func tokens(sql string) []string {
	var out []string
	for i := 0; i < len(sql); {
		c := sql[i]
		switch {
		case c == ' ' || c == '\t' || c == '\n' || c == '\r' || c == '\f':
			i++
		case strings.HasPrefix(sql[i:], "--"):
			if end := strings.IndexByte(sql[i:], '\n'); end >= 0 {
				i += end
			} else {
				i = len(sql)
			}
		case strings.HasPrefix(sql[i:], "/*"):
			if end := strings.Index(sql[i+2:], "*/"); end >= 0 {
				i += end + 4
			} else {
				i = len(sql)
			}
		case c == '"' || c == '\'' || c == '`' || c == '[':
			closing := c
			if c == '[' {
				closing = ']'
			}
			j := i + 1
			for j < len(sql) {
				if sql[j] == closing {
					if closing != ']' && j+1 < len(sql) && sql[j+1] == closing {
						j += 2
						continue
					}
					break
				}
				j++
			}
			j = min(j+1, len(sql))
			out = append(out, sql[i:j])
			i = j
		case word(c):
			j := i
			for j < len(sql) && word(sql[j]) {
				j++
			}
			out = append(out, sql[i:j])
			i = j
		default:
			out = append(out, sql[i:i+1])
			i++
		}
	}
	return out
}

func word(c byte) bool {
	return c == '_' || c == '$' || c == '.' || c >= '0' && c <= '9' || c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= 0x80
}

// unquote gives the name that a token stands for.
func unquote(s string) string {
	if len(s) >= 2 {
		switch s[0] {
		case '"', '`', '\'':
			q := s[:1]
			return strings.ReplaceAll(strings.TrimSuffix(s[1:], q), q+q, q)
		case '[':
			return strings.TrimSuffix(s[1:], "]")
		}
	}
	return s
}

// parseTable reads the columns of a CREATE TABLE.
func parseTable(name, sql string) *Table {
	t := &Table{Name: name, RowID: -1}
	list := tokens(sql)
	if len(list) > 1 && strings.EqualFold(list[1], "VIRTUAL") {
		t.refused = "is a virtual one"
		return t
	}
	open := -1
	for i, s := range list {
		if s == "(" {
			open = i
			break
		}
	}
	if open < 0 {
		t.refused = "has no list of columns"
		return t
	}
	depth, start := 0, open+1
	end := len(list)
	for i := open; i < len(list); i++ {
		switch list[i] {
		case "(":
			depth++
			continue
		case ")":
			depth--
		}
		if depth == 1 && list[i] == "," || depth == 0 {
			t.definition(list[start:i])
			start = i + 1
		}
		if depth == 0 {
			end = i
			break
		}
	}
	for i := end; i+1 < len(list); i++ {
		if strings.EqualFold(list[i], "WITHOUT") && strings.EqualFold(list[i+1], "ROWID") {
			t.refused = "is one WITHOUT ROWID"
		}
	}
	return t
}

// definition takes one column or constraint of a table.
func (t *Table) definition(list []string) {
	if len(list) == 0 {
		return
	}
	switch strings.ToUpper(list[0]) {
	case "CONSTRAINT", "PRIMARY", "UNIQUE", "CHECK", "FOREIGN":
		for i := 0; i+4 < len(list)+1; i++ {
			// PRIMARY KEY (name): of an INTEGER column it stands for the rowid.
			if strings.EqualFold(list[i], "PRIMARY") && i+4 < len(list) && list[i+2] == "(" && list[i+4] == ")" {
				if k := t.Column(unquote(list[i+3])); k >= 0 && t.Columns[k].Type == "INTEGER" {
					t.RowID = k
				}
			}
		}
		return
	}
	c := Column{Name: unquote(list[0])}
	i := 1
	var words []string
	for ; i < len(list) && !constraint(list[i]); i++ {
		words = append(words, strings.ToUpper(unquote(list[i])))
	}
	c.Type = strings.Join(words, " ")
	for ; i < len(list); i++ {
		switch strings.ToUpper(list[i]) {
		case "PRIMARY":
			if c.Type == "INTEGER" && !(i+2 < len(list) && strings.EqualFold(list[i+2], "DESC")) {
				t.RowID = len(t.Columns)
			}
		case "DEFAULT":
			if i+1 < len(list) {
				sign := ""
				if (list[i+1] == "-" || list[i+1] == "+") && i+2 < len(list) {
					sign = strings.TrimPrefix(list[i+1], "+")
					i++
				}
				c.Default = literal(sign + list[i+1])
			}
		case "GENERATED", "AS":
			t.refused = "has generated columns"
		}
	}
	t.Columns = append(t.Columns, c)
}

func constraint(s string) bool {
	switch strings.ToUpper(s) {
	case "CONSTRAINT", "PRIMARY", "NOT", "NULL", "UNIQUE", "CHECK", "DEFAULT", "COLLATE", "REFERENCES", "GENERATED", "AS":
		return true
	}
	return false
}

func literal(s string) Value {
	if i, err := strconv.ParseInt(s, 10, 64); err == nil {
		return Int(i)
	}
	if f, err := strconv.ParseFloat(s, 64); err == nil {
		return Float(f)
	}
	if len(s) > 1 && (s[0] == '\'' || s[0] == '"') {
		return String(unquote(s))
	}
	switch strings.ToUpper(s) {
	case "TRUE":
		return Int(1)
	case "FALSE":
		return Int(0)
	}
	return Value{}
}
