import type { StationProps } from "../shell/job-page.tsx";

export default function Inspection({ desk }: StationProps) {
  return <h2>{desk.job?.title}</h2>;
}
