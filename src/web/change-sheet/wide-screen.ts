/** Where pictures are drawn larger, so that their words keep their size beside the page's. */
export function isWideScreen(): boolean {
  return matchMedia("(min-width: 1700px)").matches;
}
