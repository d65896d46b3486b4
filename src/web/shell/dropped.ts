/** Files out of a drop, folders walked through; hidden and half-written files are left out. */
export async function filesOf(transfer: DataTransfer): Promise<File[]> {
  const entries = [...transfer.items].map((item) => item.webkitGetAsEntry()).filter((entry) => entry !== null);
  if (entries.length === 0) return [...transfer.files];
  return (await Promise.all(entries.map(filesWithin))).flat();
}

const relativePaths = new WeakMap<File, string>();

async function filesWithin(entry: FileSystemEntry): Promise<File[]> {
  if (entry.isFile) {
    const file = await new Promise<File>((resolve, reject) => (entry as FileSystemFileEntry).file(resolve, reject));
    relativePaths.set(file, entry.fullPath.replace(/^\//, ""));
    return /^\.|\.part$/.test(file.name) ? [] : [file];
  }
  const reader = (entry as FileSystemDirectoryEntry).createReader();
  const found: File[] = [];
  for (;;) {
    const some = await new Promise<FileSystemEntry[]>((resolve, reject) => reader.readEntries(resolve, reject));
    if (some.length === 0) return found;
    found.push(...(await Promise.all(some.map(filesWithin))).flat());
  }
}

/** A folder that is dropped keeps the part of its path that a packet has; single files go where their content says. */
export function placeOf(file: File, proposed: string): string {
  const path = (file.webkitRelativePath || relativePaths.get(file) || file.name).replaceAll("\\", "/");
  const within = /(calibration\/(?:as-received|reference)|recordings|pulls)\/[^/]+$/.exec(path)?.[0];
  return within ?? proposed;
}
