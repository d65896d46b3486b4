import type { StationProps } from "../shell/job-page.tsx";

export default function Diagnosis({ desk }: StationProps) {
  return <h2>{desk.job?.title}</h2>;
}
