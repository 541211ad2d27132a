const QUIET = 4;

/** Rows of "0" and "1" as one path; quiet zone of four modules (ISO/IEC 18004) kept white. */
export function QrPicture({ rows, label }: { rows: string[]; label: string }) {
  const side = rows.length + QUIET * 2;
  const path = rows
    .flatMap((row, y) =>
      [...row.matchAll(/1+/g)].map(
        (run) => `M${(run.index ?? 0) + QUIET} ${y + QUIET}h${run[0].length}v1h-${run[0].length}z`,
      ),
    )
    .join("");
  return (
    <svg
      class="qr"
      viewBox={`0 0 ${side} ${side}`}
      role="img"
      aria-label={label}
      shape-rendering="crispEdges"
    >
      <path d={path} />
    </svg>
  );
}
