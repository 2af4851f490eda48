-- A customer's particulars can be erased: the name under an answer with them, the answer itself stays.

drop trigger variation_page_answer_stays;
create trigger variation_page_answer_stays before update on variation
    when old.answered_on_page = 1 and (new.answer is null or new.answered_at <> old.answered_at
        or (new.answered_by <> old.answered_by and new.answered_by <> '') or new.answered_on_page = 0) begin
    select raise(abort, 'the customer answered this themselves; write another variation');
end;
