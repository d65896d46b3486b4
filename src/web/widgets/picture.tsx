import type { Picture } from "../../drawing/index.ts";

/** A picture of the drawing room with its caption. The SVG is made by our own code from numbers and escaped names. */
export function Figure({ picture }: { picture: Picture }) {
  return (
    <figure className="figure-block">
      {/* biome-ignore lint/security/noDangerouslySetInnerHtml: drawn by the drawing room, which escapes every name. */}
      <div dangerouslySetInnerHTML={{ __html: picture.svg }} />
      <figcaption>{picture.caption}</figcaption>
    </figure>
  );
}
