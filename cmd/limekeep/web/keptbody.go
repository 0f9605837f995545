package web

import (
	"bytes"
	"compress/flate"
	"encoding/binary"
	"hash/crc32"
	"io"
)

// keptBody is a page between the tokens of its forms, which are drawn anew for each
// visit: plain, and packed so that the pieces can stand behind one another in one
// stream.
type keptBody []keptPiece

// keptPiece is the text up to a token, and the token that followed; that of the last
// piece is empty.
type keptPiece struct {
	plain, packed []byte
	token         string
}

// tokenBefore and tokenAfter stand around the token of a form in a page. What people
// typed cannot hold them, since quotes are escaped.
var tokenBefore, tokenAfter = []byte(`name="` + tokenInput + `" value="`), []byte(`"`)

// newKeptBody takes a page apart.
func newKeptBody(page []byte) (keptBody, error) {
	var body keptBody
	packer, err := flate.NewWriter(io.Discard, packLevel)
	if err != nil {
		return nil, err
	}
	for len(page) > 0 {
		piece := keptPiece{plain: page}
		if i := bytes.Index(page, tokenBefore); i >= 0 {
			i += len(tokenBefore)
			token, _, _ := bytes.Cut(page[i:], tokenAfter)
			piece.plain, piece.token = page[:i], string(token)
		}
		page = page[len(piece.plain)+len(piece.token):]
		var packed bytes.Buffer
		packer.Reset(&packed) // no piece refers to one before it, between which tokens will be others
		if _, err := packer.Write(piece.plain); err != nil {
			return nil, err
		}
		if err := packer.Flush(); err != nil { // ends on a whole byte
			return nil, err
		}
		piece.packed = packed.Bytes()
		body = append(body, piece)
	}
	return body, nil
}

// size is how much memory it holds, about.
func (b keptBody) size() int {
	n := 0
	for _, p := range b {
		n += len(p.plain) + len(p.packed)
	}
	return n
}

// sizePlain is the length of the page.
func (b keptBody) sizePlain() int {
	n := 0
	for _, p := range b {
		n += len(p.plain) + len(p.token)
	}
	return n
}

// renewed puts the page together with tokens of its own: those that were the same
// still are.
func (b keptBody) renewed(draw func() string) []byte {
	out := make([]byte, 0, b.sizePlain())
	for p, token := range b.drawn(draw) {
		out = append(append(out, p.plain...), token...)
	}
	return out
}

// gzipHead begins a gzip stream without name or time (RFC 1952, 2.3).
var gzipHead = []byte{0x1f, 0x8b, 8, 0, 0, 0, 0, 0, 0, 0xff}

// renewedPacked is renewed as a gzip stream: each piece as it was packed, each token as
// a block that is stored as it is (RFC 1951, 3.2.4), and the checksum over it all.
func (b keptBody) renewedPacked(draw func() string) []byte {
	out := make([]byte, 0, b.size())
	out = append(out, gzipHead...)
	sum, length := uint32(0), 0
	for p, token := range b.drawn(draw) {
		out = append(out, p.packed...)
		sum = crc32.Update(sum, crc32.IEEETable, p.plain)
		if token != "" {
			out = append(storedBlock(out, 0, len(token)), token...)
			sum = crc32.Update(sum, crc32.IEEETable, []byte(token))
		}
		length += len(p.plain) + len(token)
	}
	out = storedBlock(out, 1, 0)
	out = binary.LittleEndian.AppendUint32(out, sum)
	return binary.LittleEndian.AppendUint32(out, uint32(length)) //nolint:gosec // modulo 2^32, as the format has it
}

// storedBlock begins a block that is stored as it is, of a length below 2^16.
func storedBlock(out []byte, final byte, length int) []byte {
	out = append(out, final)
	out = binary.LittleEndian.AppendUint16(out, uint16(length))   //nolint:gosec // tokens are short
	return binary.LittleEndian.AppendUint16(out, ^uint16(length)) //nolint:gosec // the same
}

// drawn gives each piece with the token that now follows it.
func (b keptBody) drawn(draw func() string) func(yield func(keptPiece, string) bool) {
	return func(yield func(keptPiece, string) bool) {
		now := map[string]string{"": ""}
		for _, p := range b {
			if _, ok := now[p.token]; !ok {
				now[p.token] = draw()
			}
			if !yield(p, now[p.token]) {
				return
			}
		}
	}
}
