import type { StationProps } from "../shell/job-page.tsx";

export default function ChangeSheet({ desk }: StationProps) {
  return <h2>{desk.job?.title}</h2>;
}
