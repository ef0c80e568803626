package books

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"os"
	"path/filepath"
)

// head starts the file: what it is, and the version of its format.
const head = "wherry books 1\n"

// mostFrame is the longest frame: a message and its answer with the run's state.
const mostFrame = 32 << 20

var castagnoli = crc32.MakeTable(crc32.Castagnoli)

// file is what books need of a file.
type file interface {
	io.WriterAt
	Sync() error
	Truncate(size int64) error
	Close() error
}

// frame frames a record: its length, its CRC-32C and itself.
func frame(record []byte) []byte {
	f := make([]byte, 8, 8+len(record))
	binary.LittleEndian.PutUint32(f, uint32(len(record)))
	binary.LittleEndian.PutUint32(f[4:], crc32.Checksum(record, castagnoli))
	return append(f, record...)
}

// ErrDamaged says that something follows a broken frame.
var ErrDamaged = errors.New("the books are damaged")

// ErrFormat says that the format is unknown.
var ErrFormat = errors.New("the format of the books is unknown")

// frames gives the records of a file, and the length of its valid part. A frame that is
// cut off by the end of the file, or has only zeros from some point on, was being written
// when the machine stopped: nothing has relied on it. Any other broken frame is damage.
func frames(text []byte) (records [][]byte, good int64, err error) {
	if !bytes.HasPrefix(text, []byte(head)) {
		if len(text) < len(head) && bytes.HasPrefix([]byte(head), text) {
			return nil, 0, nil
		}
		return nil, 0, fmt.Errorf("%w: it begins with %.20q", ErrFormat, text)
	}
	at := len(head)
	for at < len(text) {
		rest := text[at:]
		if len(rest) < 8 {
			break
		}
		n, sum := int64(binary.LittleEndian.Uint32(rest)), binary.LittleEndian.Uint32(rest[4:])
		if zeros(rest) || n <= mostFrame && 8+n > int64(len(rest)) {
			break
		}
		if n > mostFrame || crc32.Checksum(rest[8:8+n], castagnoli) != sum {
			if n <= mostFrame && 8+n == int64(len(rest)) {
				break
			}
			return nil, 0, fmt.Errorf("%w at byte %d of %d", ErrDamaged, at, len(text))
		}
		records = append(records, rest[8:8+n])
		at += 8 + int(n)
	}
	return records, int64(at), nil
}

func zeros(b []byte) bool { return len(bytes.TrimLeft(b, "\x00")) == 0 }

// replace replaces a file, as a whole or not at all, even if the machine stops.
func replace(path string, text []byte) (err error) {
	part := path + ".part"
	f, err := os.OpenFile(part, os.O_CREATE|os.O_TRUNC|os.O_WRONLY, 0o600)
	if err != nil {
		return err
	}
	if _, err = f.Write(text); err == nil {
		err = f.Sync()
	}
	if err = errors.Join(err, f.Close()); err != nil {
		return errors.Join(err, os.Remove(part))
	}
	if err = os.Rename(part, path); err != nil {
		return err
	}
	return syncFolder(filepath.Dir(path))
}
