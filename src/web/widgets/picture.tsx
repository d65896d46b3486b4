import type { PictureView } from "../../api/index.ts";
import type { Picture } from "../../drawing/index.ts";

/** A picture of the drawing room with its caption. */
export function Figure({ picture }: { picture: Picture }) {
  return <Drawn picture={picture} />;
}

/** A picture that the server drew, or this page. The SVG is made by our own code from numbers and escaped names. */
export function Drawn({ picture }: { picture: PictureView }) {
  return (
    <figure className="figure-block">
      {/* biome-ignore lint/security/noDangerouslySetInnerHtml: drawn by the drawing room, which escapes every name. */}
      <div dangerouslySetInnerHTML={{ __html: picture.svg }} />
      <figcaption>{picture.caption}</figcaption>
    </figure>
  );
}
