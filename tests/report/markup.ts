/** Just enough reading of HTML and SVG for tests: nesting, attributes, text. */
const VOID = new Set(["meta", "br", "hr", "img", "link", "input", "wbr"]);

export interface Element {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: Element[];
  text: string;
}

/** The tree of a page. @throws Error where a tag is not closed by its own end: the page is malformed */
export function parseMarkup(source: string): Element {
  const root: Element = { name: "#root", attributes: {}, children: [], text: "" };
  const stack: Element[] = [root];
  const tags = /<!doctype[^>]*>|<!--[\s\S]*?-->|<style[^>]*>[\s\S]*?<\/style>|<(\/?)([a-zA-Z][\w-]*)((?:\s+[\w:-]+(?:="[^"]*")?)*)\s*(\/?)>|([^<]+)|(<)/gi;
  for (const match of source.matchAll(tags)) {
    const [whole, end, name, attributes, selfClosed, text, stray] = match;
    const top = stack[stack.length - 1]!;
    if (stray !== undefined) throw new Error(`a stray "<" at ${match.index}: ${source.slice(match.index, match.index + 60)}`);
    if (text !== undefined) {
      for (const open of stack) open.text += text;
      continue;
    }
    if (name === undefined) {
      if (whole.toLowerCase().startsWith("<style")) top.children.push({ name: "style", attributes: {}, children: [], text: whole });
      continue;
    }
    if (end === "/") {
      if (top.name !== name) throw new Error(`</${name}> closes <${top.name}>`);
      stack.pop();
      continue;
    }
    const element: Element = {
      name,
      attributes: Object.fromEntries([...attributes!.matchAll(/([\w:-]+)(?:="([^"]*)")?/g)].map((pair) => [pair[1]!, pair[2] ?? ""])),
      children: [],
      text: "",
    };
    top.children.push(element);
    if (selfClosed !== "/" && !VOID.has(name)) stack.push(element);
  }
  if (stack.length !== 1) throw new Error(`<${stack[stack.length - 1]!.name}> is never closed`);
  return root;
}

/** All elements of a name, in the order of the page. */
export function all(root: Element, name: string): Element[] {
  const found: Element[] = [];
  const visit = (element: Element): void => {
    for (const child of element.children) {
      if (child.name === name) found.push(child);
      visit(child);
    }
  };
  visit(root);
  return found;
}

export function everyElement(root: Element): Element[] {
  return root.children.flatMap((child) => [child, ...everyElement(child)]);
}
