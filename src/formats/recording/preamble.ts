/** "Key: value" lines above the header as a record; lines without a colon or an equals sign are left aside. */
export function preambleOf(lines: readonly string[]): Readonly<Record<string, string>> {
  const record: Record<string, string> = {};
  for (const line of lines) {
    const bare = line.replace(/^\s*(#|\/\/|%|;|\*)+\s*/, "").replace(/^"(.*)"$/, "$1");
    const pair = /^\s*"?([^:=,;\t"]{1,60}?)"?\s*(?:[:=]|[,;\t])\s*"?(.*?)"?[\s,;]*$/.exec(bare);
    if (pair === null) {
      const words = bare.replace(/[,;\t\s]+$/, "").trim();
      if (words !== "") record[words] = "";
      continue;
    }
    const key = pair[1]!.trim();
    if (key !== "" && record[key] === undefined) record[key] = pair[2]!.trim();
  }
  return record;
}
