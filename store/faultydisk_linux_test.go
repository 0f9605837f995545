package store

import (
	"bytes"
	"errors"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"sync"
	"testing"
	"unsafe"

	"modernc.org/libc"
	sqlite3 "modernc.org/sqlite/lib"

	"limekeep/schedule/record"
)

// faultyDisk stands between SQLite and the system (a VFS, https://sqlite.org/vfs.html): it
// passes on what is written, fails where it is told to, and remembers what was not synced,
// which power loss may take.
type faultyDisk struct {
	mu    sync.Mutex
	files map[string]*diskFile
	fault func(op string, n int) (written int, result int32) // asked before each write (of n bytes), sync and truncation; nil for a good disk
	ops   int                                                // that came so far
	room  *int64                                             // how many bytes files may still grow by; nil for any

	calls []any // what SQLite calls, which nobody else holds
}

// diskFile is what a disk has for certain, and what it was given since.
type diskFile struct {
	synced  []byte
	pending []diskChange
}

// diskChange is a write at an offset, or a truncation where there is no data.
type diskChange struct {
	offset int64
	data   []byte
}

func (f *diskFile) apply(c diskChange) {
	if c.data == nil {
		f.synced = append(f.synced, make([]byte, max(0, int(c.offset)-len(f.synced)))...)[:c.offset]
		return
	}
	if end := int(c.offset) + len(c.data); end > len(f.synced) {
		f.synced = append(f.synced, make([]byte, end-len(f.synced))...)
	}
	copy(f.synced[c.offset:], c.data)
}

// The functions of a VFS, as the translated SQLite calls them.
type (
	openCall     func(*libc.TLS, uintptr, uintptr, uintptr, int32, uintptr) int32
	writeCall    func(*libc.TLS, uintptr, uintptr, int32, int64) int32
	truncateCall func(*libc.TLS, uintptr, int64) int32
	syncCall     func(*libc.TLS, uintptr, int32) int32
	closeCall    func(*libc.TLS, uintptr) int32
)

// memory is a pointer into memory that SQLite manages.
func memory(p uintptr) unsafe.Pointer { return *(*unsafe.Pointer)(unsafe.Pointer(&p)) }

// called makes a function of its address, addressOf an address of a function.
func called[F any](address uintptr) F {
	holder := struct{ p uintptr }{address}
	return *(*F)(unsafe.Pointer(&holder))
}

func addressOf[F any](f F) uintptr {
	holder := struct{ f F }{f}
	return *(*uintptr)(unsafe.Pointer(&holder))
}

// newFaultyDisk has SQLite use a disk for whatever is opened until the test ends.
func newFaultyDisk(t *testing.T) *faultyDisk {
	t.Helper()
	d := &faultyDisk{files: map[string]*diskFile{}}
	tls := libc.NewTLS()
	if rc := sqlite3.Xsqlite3_initialize(tls); rc != sqlite3.SQLITE_OK {
		t.Fatal("SQLite does not start: ", rc)
	}
	system := sqlite3.Xsqlite3_vfs_find(tls, 0)
	size := libc.Tsize_t(unsafe.Sizeof(sqlite3.Tsqlite3_vfs{}))
	own := libc.Xmalloc(tls, size)
	name, err := libc.CString("faulty")
	if err != nil {
		t.Fatal(err)
	}
	vfs := (*sqlite3.Tsqlite3_vfs)(memory(own))
	*vfs = *(*sqlite3.Tsqlite3_vfs)(memory(system))
	vfs.FpNext, vfs.FzName = 0, name
	paths, methods := map[uintptr]string{}, map[uintptr]uintptr{}
	of := func(file uintptr) (string, *sqlite3.Tsqlite3_io_methods) {
		d.mu.Lock()
		defer d.mu.Unlock()
		for inner, wrapped := range methods {
			if *(*uintptr)(memory(file)) == wrapped {
				return paths[file], (*sqlite3.Tsqlite3_io_methods)(memory(inner))
			}
		}
		panic("a file of nobody")
	}
	write := writeCall(func(tls *libc.TLS, file, data uintptr, n int32, offset int64) int32 {
		path, inner := of(file)
		written, result := d.before("write", int(n))
		if result == sqlite3.SQLITE_OK && !d.grow(path, offset+int64(n)) {
			written, result = 0, sqlite3.SQLITE_FULL
		}
		if result == sqlite3.SQLITE_OK {
			written = int(n)
		}
		if written > 0 {
			if rc := called[writeCall](inner.FxWrite)(tls, file, data, int32(written), offset); rc != sqlite3.SQLITE_OK {
				return rc
			}
			d.wrote(path, diskChange{offset, bytes.Clone(libc.GoBytes(data, written))})
		}
		return result
	})
	truncate := truncateCall(func(tls *libc.TLS, file uintptr, size int64) int32 {
		path, inner := of(file)
		if _, result := d.before("truncate", 0); result != sqlite3.SQLITE_OK {
			return result
		}
		rc := called[truncateCall](inner.FxTruncate)(tls, file, size)
		d.wrote(path, diskChange{offset: size})
		return rc
	})
	sync := syncCall(func(tls *libc.TLS, file uintptr, flags int32) int32 {
		path, inner := of(file)
		if _, result := d.before("sync", 0); result != sqlite3.SQLITE_OK {
			return result
		}
		rc := called[syncCall](inner.FxSync)(tls, file, flags)
		d.sync(path)
		return rc
	})
	end := closeCall(func(tls *libc.TLS, file uintptr) int32 {
		_, inner := of(file)
		d.mu.Lock()
		delete(paths, file)
		d.mu.Unlock()
		return called[closeCall](inner.FxClose)(tls, file)
	})
	open := openCall(func(tls *libc.TLS, vfs, name, file uintptr, flags int32, out uintptr) int32 {
		rc := called[openCall]((*sqlite3.Tsqlite3_vfs)(memory(system)).FxOpen)(tls, vfs, name, file, flags, out)
		at := (*uintptr)(memory(file))
		if rc != sqlite3.SQLITE_OK || *at == 0 {
			return rc
		}
		d.mu.Lock()
		defer d.mu.Unlock()
		if methods[*at] == 0 {
			methods[*at] = libc.Xmalloc(tls, libc.Tsize_t(unsafe.Sizeof(sqlite3.Tsqlite3_io_methods{})))
			m := (*sqlite3.Tsqlite3_io_methods)(memory(methods[*at]))
			*m = *(*sqlite3.Tsqlite3_io_methods)(memory(*at))
			m.FxWrite, m.FxTruncate, m.FxSync, m.FxClose = addressOf(write), addressOf(truncate), addressOf(sync), addressOf(end)
		}
		*at = methods[*at]
		if name != 0 {
			paths[file] = libc.GoString(name)
		}
		return rc
	})
	d.calls = []any{open, write, truncate, sync, end}
	vfs.FxOpen = addressOf(open)
	if rc := sqlite3.Xsqlite3_vfs_register(tls, own, 1); rc != sqlite3.SQLITE_OK {
		t.Fatal("the disk is not taken: ", rc)
	}
	t.Cleanup(func() {
		sqlite3.Xsqlite3_vfs_register(tls, system, 1)
		sqlite3.Xsqlite3_vfs_unregister(tls, own)
		tls.Close()
		runtime.KeepAlive(d)
	})
	return d
}

// before counts an operation, and says what is to become of it.
func (d *faultyDisk) before(op string, n int) (int, int32) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.ops++
	if d.fault == nil {
		return n, sqlite3.SQLITE_OK
	}
	return d.fault(op, n)
}

// grow reports whether there is room for a file to reach so far, and takes it.
func (d *faultyDisk) grow(path string, end int64) bool {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.room == nil {
		return true
	}
	info, err := os.Stat(path)
	if err != nil || end <= info.Size() {
		return true
	}
	if more := end - info.Size(); more <= *d.room {
		*d.room -= more
		return true
	}
	return false
}

func (d *faultyDisk) wrote(path string, c diskChange) {
	d.mu.Lock()
	defer d.mu.Unlock()
	f := d.files[path]
	if f == nil {
		f = &diskFile{}
		d.files[path] = f
	}
	f.pending = append(f.pending, c)
}

func (d *faultyDisk) sync(path string) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if f := d.files[path]; f != nil {
		for _, c := range f.pending {
			f.apply(c)
		}
		f.pending = nil
	}
}

// afterPowerLoss writes into a folder what is left of a file of records and its log where the
// power goes now: all that was synced, and of what was written since some, torn at will and
// in no order. It returns the path there.
func (d *faultyDisk) afterPowerLoss(t *testing.T, path, folder string, rng *rand.Rand) string {
	t.Helper()
	d.mu.Lock()
	defer d.mu.Unlock()
	for _, end := range []string{"", "-wal"} {
		f := d.files[path+end]
		if f == nil {
			continue
		}
		left := &diskFile{synced: append([]byte(nil), f.synced...)}
		for _, c := range f.pending {
			switch rng.IntN(3) {
			case 0: // lost
			case 1:
				left.apply(c)
			case 2:
				if len(c.data) > 0 {
					left.apply(diskChange{c.offset, c.data[:rng.IntN(len(c.data))+1]})
				}
			}
		}
		if err := os.WriteFile(filepath.Join(folder, filepath.Base(path)+end), left.synced, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return filepath.Join(folder, filepath.Base(path))
}

// A disk that fails to sync, is full, or writes short at any one moment loses nothing that
// was acknowledged: who wrote is told in our words, and can go on once the disk is well.
func TestFaultsOfTheDisk(t *testing.T) {
	disk := newFaultyDisk(t)
	for name, fault := range map[string]func(op string, n int) (int, int32){
		"a sync that fails": func(op string, n int) (int, int32) {
			if op == "sync" {
				return 0, sqlite3.SQLITE_IOERR_FSYNC
			}
			return n, sqlite3.SQLITE_OK
		},
		"a full disk": func(op string, n int) (int, int32) {
			if op == "write" {
				return 0, sqlite3.SQLITE_FULL
			}
			return n, sqlite3.SQLITE_OK
		},
		"a write that is cut short": func(op string, n int) (int, int32) {
			if op == "write" {
				return n / 2, sqlite3.SQLITE_IOERR_WRITE
			}
			return n, sqlite3.SQLITE_OK
		},
		"a log that cannot be cut back": func(op string, n int) (int, int32) {
			if op == "truncate" {
				return 0, sqlite3.SQLITE_IOERR_TRUNCATE
			}
			return n, sqlite3.SQLITE_OK
		},
	} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "records.db")
			db := openAt(t, path)
			// The log goes into the file often, so that faults meet that as well.
			if _, err := db.write.Exec("PRAGMA wal_autocheckpoint = 3; PRAGMA journal_size_limit = 0"); err != nil {
				t.Fatal(err)
			}
			acknowledged, failed := map[int64]string{}, 0
			for n := range 120 {
				disk.mu.Lock()
				if from := disk.ops + n%9; n%3 > 0 { // two in three meet it, at another operation each
					disk.fault = func(op string, length int) (int, int32) {
						if disk.ops > from {
							return fault(op, length)
						}
						return length, sqlite3.SQLITE_OK
					}
				}
				disk.mu.Unlock()
				e := noted(n)
				ids, err := db.Append(t.Context(), e)
				disk.mu.Lock()
				disk.fault = nil
				disk.mu.Unlock()
				switch told := new(*FaultError); {
				case err == nil:
					acknowledged[ids[0]] = e.Body.(record.Service).Note
				case errors.As(err, told):
					failed++
				default:
					t.Fatalf("told %v", err)
				}
			}
			if len(acknowledged) < 40 {
				t.Errorf("%d of 120 were taken", len(acknowledged))
			}
			if failed == 0 && name != "a log that cannot be cut back" { // which is no harm to what is written
				t.Error("no fault was ever met")
			}
			holdsAll(t, path, acknowledged)
		})
	}
}

// quota is a fault of a disk that holds no more than so many bytes beyond what it holds
// already: what lies in a file can be written anew, what would make one longer is refused.
func (d *faultyDisk) quota(bytes int64) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.room = &bytes
}

// A disk that is full for good refuses what is written, says what to do, and loses nothing;
// what is there can be read, checked and brought into the file, and once there is room all
// goes on.
func TestFullDisk(t *testing.T) {
	disk := newFaultyDisk(t)
	path := filepath.Join(t.TempDir(), "records.db")
	db := openAt(t, path)
	disk.quota(1 << 20)
	acknowledged, refused := map[int64]string{}, 0
	for n := range 400 {
		e := noted(n)
		ids, err := db.Append(t.Context(), e)
		if err == nil {
			acknowledged[ids[0]] = e.Body.(record.Service).Note
			continue
		}
		refused++
		if told := new(*FaultError); !errors.As(err, told) || (*told).Why != faultFull {
			t.Fatalf("told %v", err)
		}
		if refused == 3 { // it goes on where the log is brought in, but not for long
			if err := db.Fold(t.Context()); err != nil && !errors.As(err, new(*FaultError)) {
				t.Errorf("bringing the log in: %v", err)
			}
		}
		if refused == 20 {
			break
		}
	}
	if len(acknowledged) < 10 || refused < 20 {
		t.Errorf("%d were taken and %d refused", len(acknowledged), refused)
	}
	if n := len(mustHistory(t, db, day(30))); n != len(acknowledged) {
		t.Errorf("%d records can be read while it is full, want %d", n, len(acknowledged))
	}
	if err := db.Check(t.Context()); err != nil {
		t.Errorf("while it is full: %v", err)
	}
	if err := db.Backup(t.Context(), filepath.Join(t.TempDir(), "copy.db")); !errors.As(err, new(*FaultError)) {
		t.Errorf("a copy on a full disk: %v", err)
	}
	disk.quota(1 << 30)
	acknowledged[mustAppend(t, db, noted(1))[0]] = noted(1).Body.(record.Service).Note
	holdsAll(t, path, acknowledged)
}

// Where the power goes, all that was acknowledged by then is on the disk, whatever became of
// what was not synced yet.
func TestPowerLoss(t *testing.T) {
	disk := newFaultyDisk(t)
	path := filepath.Join(t.TempDir(), "records.db")
	db := openAt(t, path)
	if _, err := db.write.Exec("PRAGMA wal_autocheckpoint = 5"); err != nil {
		t.Fatal(err)
	}
	rng := rand.New(rand.NewPCG(3, 4)) //nolint:gosec // chance that can be had again
	acknowledged := map[int64]string{}
	losses := 40
	if os.Getenv("LIMEKEEP_SOAK") != "" {
		losses = 1000
	}
	for n := range losses {
		// The power goes at any one operation of the write, or after it.
		cut, lost := rng.IntN(12), ""
		disk.mu.Lock()
		from := disk.ops + cut
		disk.fault = func(_ string, length int) (int, int32) {
			if disk.ops == from {
				disk.mu.Unlock()
				lost = disk.afterPowerLoss(t, path, t.TempDir(), rng)
				disk.mu.Lock()
			}
			return length, sqlite3.SQLITE_OK
		}
		disk.mu.Unlock()
		before := make(map[int64]string, len(acknowledged))
		for id, note := range acknowledged {
			before[id] = note
		}
		e := noted(n)
		ids, err := db.Append(t.Context(), e)
		if err != nil {
			t.Fatal(err)
		}
		acknowledged[ids[0]] = e.Body.(record.Service).Note
		disk.mu.Lock()
		disk.fault = nil
		disk.mu.Unlock()
		if lost == "" {
			lost, before = disk.afterPowerLoss(t, path, t.TempDir(), rng), acknowledged
		}
		holdsAll(t, lost, before)
	}
}
