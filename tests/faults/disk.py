"""What a disk holds after the power is cut: the operations that tests/faults/failing_disk.cpp
recorded, taken over one by one, each of them lasting from its sync on.

A file's bytes last from its fsync on, a name (made, linked, moved, removed) from the fsync of its
folder on: what POSIX promises and no more. What was not yet synced is, by the random generator
given, kept, lost, or torn: sectors of 512 bytes kept or lost one by one, in any order.
"""
import os
import pathlib
import struct

SECTOR = 512


def operations(trace):
    """(letter, fields) of each record."""
    data, at, out = pathlib.Path(trace).read_bytes(), 0, []
    while at < len(data):
        letter, count = chr(data[at]), data[at + 1]
        at += 2
        fields = []
        for _ in range(count):
            (size,) = struct.unpack_from("=I", data, at)
            fields.append(data[at + 4:at + 4 + size])
            at += 4 + size
        out.append((letter, fields))
    return out


def patched(content, offset, data):
    if len(content) < offset:
        content.extend(bytes(offset - len(content)))
    content[offset:offset + len(data)] = data


class File:
    def __init__(self, content=b""):
        self.lasting, self.now, self.waiting = bytearray(content), bytearray(content), []

    def write(self, offset, data):
        patched(self.now, offset, data)
        self.waiting.append((offset, data))

    def cut(self, size):
        self.resize(self.now, size)
        self.waiting.append((size, None))

    @staticmethod
    def resize(content, size):
        del content[size:]
        content.extend(bytes(size - len(content)))

    def sync(self):
        self.lasting, self.waiting = bytearray(self.now), []

    def after_cut(self, random, keep):
        out = bytearray(self.lasting)
        for offset, data in self.waiting:
            if data is None:
                if random.random() < keep:
                    self.resize(out, offset)
                continue
            whole = random.random()
            if whole < 0.3:  # torn
                at = 0
                while at < len(data):
                    size = min(SECTOR - (offset + at) % SECTOR, len(data) - at)
                    if random.random() < 0.5:
                        patched(out, offset + at, data[at:at + size])
                    at += size
            elif random.random() < keep:
                patched(out, offset, data)
        return bytes(out)


class Disk:
    """Under one folder; begins as that folder is."""

    def __init__(self, folder):
        self.lasting = {}
        self.folders = {str(folder)}
        for path in pathlib.Path(folder).rglob("*"):
            if path.is_dir():
                self.folders.add(str(path))
            else:
                self.lasting[str(path)] = File(path.read_bytes())
        self.now = dict(self.lasting)
        self.waiting = []  # (path, File or None, in which step): names not yet lasting
        self.open = {}     # by descriptor: File, or the path of a folder
        self.reports = 0
        self.step = 0

    def kind(self, descriptor):
        return "files" if isinstance(self.open[descriptor.decode()], File) else "folders"

    def name(self, path, file):
        if file is None:
            self.now.pop(path, None)
        else:
            self.now[path] = file
        self.waiting.append((path, file, self.step))

    def do(self, letter, fields):
        self.step += 1
        text = [field.decode("utf-8", "surrogateescape") for field in fields[:2]]
        if letter == "o":
            path = text[1]
            made, emptied, folder = (field == b"1" for field in fields[2:5])
            if folder or path in self.folders:
                self.open[text[0]] = path
            elif made or path in self.now:
                if made:
                    self.name(path, File())
                elif emptied:
                    self.now[path].cut(0)
                self.open[text[0]] = self.now[path]
        elif letter == "w" and isinstance(self.open.get(text[0]), File):
            self.open[text[0]].write(int(text[1]), fields[2])
        elif letter == "t":
            self.open[text[0]].cut(int(text[1]))
        elif letter == "s":
            synced = self.open[text[0]]
            if isinstance(synced, File):
                synced.sync()
            else:
                self.sync_folder(synced)
        elif letter == "c":
            self.open.pop(text[0], None)
        elif letter == "u":
            self.folders.discard(text[0])
            self.name(text[0], None)
        elif letter == "l":
            self.name(text[1], self.now[text[0]])
        elif letter == "n":
            self.move(text[0], text[1])
        elif letter == "m":
            self.folders.add(text[0])  # a folder that is lost takes its files along, as if unnamed
        elif letter == "r":
            self.reports += 1

    def move(self, old, new):
        if old in self.folders:
            self.folders.remove(old)
            self.folders.add(new)
            for path in [path for path in self.now if path.startswith(old + "/")]:
                self.move(path, new + path[len(old):])
            return
        file = self.now[old]
        self.name(old, None)
        self.name(new, file)

    def sync_folder(self, folder):
        left = []
        for path, file, step in self.waiting:
            if os.path.dirname(path) == folder:
                self.set(self.lasting, path, file)
            else:
                left.append((path, file, step))
        self.waiting = left

    @staticmethod
    def set(names, path, file):
        if file is None:
            names.pop(path, None)
        else:
            names[path] = file

    def after_cut(self, random):
        """path: bytes. The names of one step (a move) are kept or lost together."""
        keep = random.choice([0.0, 0.2, 0.5, 0.8, 1.0])
        names, kept = dict(self.lasting), {}
        for path, file, step in self.waiting:
            if step not in kept:
                kept[step] = random.random() < keep
            if kept[step]:
                self.set(names, path, file)
        contents = {}  # of one file under two names: the same
        for file in names.values():
            if id(file) not in contents:
                contents[id(file)] = file.after_cut(random, random.choice([0.0, keep, 1.0]))
        return {path: contents[id(file)] for path, file in names.items()}
