/** The hatching of what is only expected, for a `fill` of `url(#id)`. */
export function Hatch({ id }: { id: string }) {
  return (
    <pattern
      id={id}
      width="6"
      height="6"
      patternUnits="userSpaceOnUse"
      patternTransform="rotate(45)"
    >
      <path class="c-band" d="M0 0V6" />
    </pattern>
  );
}
