export interface SignalProps {
  /** Ready-worded: "No signal", "3 waiting", "All sent 10:12", "1 needs you". */
  words: string;
  /** Solid when everything reached the server; dashed while it has not. */
  kind: "on" | "off" | "need";
  href?: string;
}

/** Whether the phone's work has arrived, in words and by its outline. */
export function Signal({ words, kind, href }: SignalProps) {
  const look = `signal${kind === "on" ? " signal--on" : kind === "need" ? " signal--need" : ""}`;
  return href ? (
    <a class="signal-link push" href={href}>
      <span class={look}>{words}</span>
    </a>
  ) : (
    <span class={`${look} push`}>{words}</span>
  );
}
