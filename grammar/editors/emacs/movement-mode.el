;;; movement-mode.el --- Descriptions of tower clocks  -*- lexical-binding: t; -*-

;; Package-Requires: ((emacs "27.1"))
;; Version: 0.1.0
;; SPDX-License-Identifier: MIT

;;; Commentary:

;; A major mode for descriptions of tower clocks, files that end in `.movement'.
;; The words are made from the vocabulary of the language (movement-words.el).
;; With Eglot, `countwheel language-server' says what is amiss while you write.

;;; Code:

(require 'seq)
(require 'movement-words)

(defgroup movement nil
  "Descriptions of tower clocks."
  :group 'languages)

(defcustom movement-command '("countwheel" "language-server")
  "The language server: the command, or where it lies, and what it is called with."
  :type '(repeat string))

(defcustom movement-indent 2
  "By how many columns a line stands deeper than the one that owns it."
  :type 'natnum
  :safe #'natnump)

(defface movement-part '((t :inherit font-lock-keyword-face)) "A word under which more can stand.")
(defface movement-fact '((t :inherit font-lock-variable-name-face)) "A word that states one thing.")
(defface movement-choice '((t :inherit font-lock-constant-face)) "One of a closed choice.")
(defface movement-word '((t :inherit font-lock-builtin-face)) "A fixed word of a value.")
(defface movement-name '((t :inherit font-lock-function-name-face)) "What a part is called.")
(defface movement-path '((t :inherit movement-name)) "The way to a part.")
(defface movement-value '((t :inherit default)) "Any other word of a value.")
(defface movement-evidence '((t :inherit font-lock-preprocessor-face)) "How a fact is known.")
(defface movement-number '((t :inherit font-lock-constant-face)) "A number.")
(defface movement-unit '((t :inherit font-lock-type-face)) "A unit.")
(defface movement-unknown '((t :inherit font-lock-warning-face)) "What is not known.")
(defface movement-date '((t :inherit font-lock-constant-face)) "A date or a time of day.")
(defface movement-sign '((t :inherit default)) "A sign between values.")

;; --- comments and texts

(defvar movement-mode-syntax-table
  (let ((table (make-syntax-table)))
    ;; Quotes and # are given their meaning place by place: see `movement--propertize'.
    (dolist (letter '(?\" ?# ?\\ ?, ??)) (modify-syntax-entry letter "." table))
    (dolist (letter '(?. ?- ?/ ?' ?_)) (modify-syntax-entry letter "_" table))
    (modify-syntax-entry ?\n ">" table)
    table))

(defun movement--mark (at what)
  "Give the character AT the syntax WHAT."
  (put-text-property at (1+ at) 'syntax-table (string-to-syntax what)))

(defun movement--propertize (start end)
  "Mark the comments and texts from START to END.
A lone quote is no text, and a # inside a word no comment."
  (goto-char start)
  (while (re-search-forward "\"\"\"\\|\"[^\"\n]*\"\\|#" end t)
    (let* ((from (match-beginning 0))
           (to (match-end 0))
           (long (string= (match-string 0) "\"\"\""))
           (inside (nth 3 (save-excursion (syntax-ppss from)))))
      (cond
       (inside (if long (movement--mark (1- to) "|") (goto-char (1+ from))))
       ((eq (char-after from) ?#)
        (when (memq (char-before from) '(nil ?\n ?\s ?\t))
          (movement--mark from "<")
          (end-of-line)))
       (long (movement--mark from "|"))
       (t (movement--mark from "|")
          (movement--mark (1- to) "|"))))))

;; --- words

(defconst movement--number
  (let ((vulgar "½¼¾⅓⅔⅛⅜⅝⅞"))
    (concat "[-−]?\\(?:[0-9]+[ \t]+[0-9]+/[0-9]+\\|[0-9]+/[0-9]+\\|[0-9]+[ \t]*[" vulgar "]\\|[" vulgar "]"
            "\\|[0-9]+\\(?:\\.[0-9]+\\)?\\(?:[eE][-+−]?[0-9]+\\)?\\)")))

(defconst movement--unit
  (let ((letters nil) (signs nil))
    (dolist (form movement-words-units)
      (let ((pattern (replace-regexp-in-string " " "[ \t]+" (regexp-quote form) t t)))
        (if (string-match-p "[[:alnum:]]\\'" form) (push pattern letters) (push pattern signs))))
    (cons (concat "\\(" (mapconcat #'identity (nreverse letters) "\\|") "\\)\\(?:[^[:alnum:]_'’]\\|$\\)")
          (concat "\\(" (mapconcat #'identity (nreverse signs) "\\|") "\\)")))
  "How a unit looks that ends in a letter, and one that ends in a sign.")

(defconst movement--tokens
  `(("\"[^\"\n]*\"?" . text)
    ("[0-9]\\{4\\}-[0-9][0-9]\\(?:-[0-9][0-9]\\)?\\_>" . date)
    ("[0-9][0-9]?:[0-9][0-9]\\_>" . date)
    ("\\.\\.\\|…\\|–\\|±\\|\\+/-\\|\\+-\\|,\\|\\.\\(?:[ \t\n]\\|\\'\\)" . sign)
    ("\\?" . unknown)
    ("[0-9]+[x×][0-9]+[^ \t\n,\"±?]*" . free)
    (,movement--number . number)
    ("[^ \t\n,\"±?]+" . free))
  "What a piece of a line looks like and what it is; the first that fits holds.")

(defvar movement--heads
  (let ((table (make-hash-table :test 'equal)))
    (dolist (head movement-words-heads table)
      (puthash (car head) (cdr head) table)))
  "What begins a line, by its spelling.")

(defun movement--unit-here ()
  "The end of the unit that begins at point, or nil."
  (let ((case-fold-search nil) (ends nil))
    (when (looking-at (car movement--unit)) (push (match-end 1) ends))
    (when (looking-at (cdr movement--unit)) (push (match-end 1) ends))
    (and ends (apply #'max ends))))

(defun movement--pieces (end)
  "The pieces from point to END.
Each is a list: what it is, where it begins and ends, its text in small letters."
  (let ((pieces nil) (before nil) (case-fold-search nil))
    (skip-chars-forward " \t" end)
    ;; 11 is the class of what begins a comment.
    (while (and (< (point) end) (not (eq (syntax-class (syntax-after (point))) 11)))
      (let* ((from (point))
             (unit (and (eq before 'number) (movement--unit-here)))
             (kind (if unit 'unit
                     (cdr (seq-find (lambda (one) (looking-at (car one))) movement--tokens))))
             (to (min end (or unit (match-end 0)))))
        (when (and (eq kind 'sign) (eq (char-after from) ?.)) (setq to (if (eq (char-after (1+ from)) ?.) to (1+ from))))
        (push (list kind from to (downcase (buffer-substring-no-properties from to))) pieces)
        (setq before kind)
        (goto-char (max to (1+ from)))
        (skip-chars-forward " \t" end)))
    (nreverse pieces)))

(defun movement--run (pieces words most)
  "How many free PIECES at the front are one of WORDS; at MOST so many."
  (let ((used (min most (length pieces))) (found nil))
    (while (and (> used 0) (not found))
      (let ((run (seq-take pieces used)))
        (if (and (seq-every-p (lambda (piece) (eq (car piece) 'free)) run)
                 (member (mapconcat (lambda (piece) (nth 3 piece)) run " ") words))
            (setq found used)
          (setq used (1- used)))))
    (or found 0)))

(defun movement--face (piece face)
  "Give PIECE its FACE."
  (put-text-property (nth 1 piece) (nth 2 piece) 'face face))

(defun movement--faces (pieces words face)
  "Give FACE to the runs of PIECES that are among WORDS; mark these as done."
  (while pieces
    (let ((used (movement--run pieces words 5)))
      (dotimes (at used)
        (movement--face (nth at pieces) face)
        (setcar (nth at pieces) 'done))
      (setq pieces (nthcdr (max 1 used) pieces)))))

(defun movement--values (pieces form)
  "Give the PIECES behind the first words of a line their faces.
FORM says what may stand behind these words."
  (let ((known nil) (hinting nil) (by nil))
    (dolist (piece pieces)
      (let ((text (nth 3 piece)) (person by))
        (setq by nil)
        (when (eq (car piece) 'free)
          (cond
           ((member text movement-words-evidence)
            (movement--face piece 'movement-evidence)
            (setcar piece 'done)
            (when (member text movement-words-known) (setq known t)))
           ((and known (member text movement-words-details))
            (movement--face piece 'movement-evidence)
            (setcar piece 'done)
            (setq by (string= text "by")))
           ((and hinting (member text movement-words-hints))
            (movement--face piece 'movement-word)
            (setcar piece 'done))
           (person (movement--face piece 'movement-value)
                   (setcar piece 'done))))
        (setq hinting (or (eq (car piece) 'unknown)
                          (and hinting (or (memq (car piece) '(number unit sign)) (member text movement-words-hints)))))))
    (movement--faces pieces (nth 0 form) 'movement-choice)
    (movement--faces pieces (nth 1 form) 'movement-word)
    (dolist (piece pieces)
      (pcase (car piece)
        ('free (movement--face piece (if (string-match-p "\\`[[:alpha:]][^. ]*\\(\\.[^. ]+\\)+\\'" (nth 3 piece))
                                         'movement-path
                                       (intern (format "movement-%s" (nth 2 form))))))
        ((or 'number 'unit 'date 'sign 'unknown)
         (movement--face piece (intern (format "movement-%s" (car piece)))))))))

(defun movement--line (pieces)
  "Give the PIECES of a line their faces."
  (let* ((no (and (equal (nth 3 (car pieces)) "no") (cdr pieces)))
         (rest (if no (cdr pieces) pieces))
         (used 5)
         (head nil))
    (while (and (> used 0) (not head))
      (let ((run (seq-take rest used)))
        (setq head (and (seq-every-p (lambda (piece) (eq (car piece) 'free)) run)
                        (gethash (mapconcat (lambda (piece) (nth 3 piece)) run " ") movement--heads)))
        (unless head (setq used (1- used)))))
    (cond
     (head
      (when no (movement--face (car pieces) 'movement-word))
      (dolist (piece (seq-take rest used))
        (movement--face piece (if (eq (car head) 'part) 'movement-part 'movement-fact)))
      (movement--values (nthcdr used rest) (aref movement-words-forms (nth 1 head))))
     ((eq (car (car pieces)) 'date)
      (movement--faces pieces movement-words-events 'movement-fact)
      (movement--values pieces (aref movement-words-forms movement-words-form-entry)))
     ((and (> (movement--run pieces movement-words-metals 2) 0) (memq (car (nth 1 pieces)) '(number unknown)))
      (movement--face (car pieces) 'movement-choice)
      (movement--values (cdr pieces) (aref movement-words-forms movement-words-form-member)))
     ((and (eq (car (car pieces)) 'free) (seq-find (lambda (piece) (equal (nth 3 piece) "every")) pieces))
      (while (and pieces (not (equal (nth 3 (car pieces)) "every")))
        (movement--face (car pieces) 'movement-fact)
        (setq pieces (cdr pieces)))
      (movement--values pieces (aref movement-words-forms movement-words-form-task)))
     (t (movement--values pieces (aref movement-words-forms 0))))))

(defun movement--fontify (limit)
  "Give the words of the lines up to LIMIT their faces."
  (beginning-of-line)
  (while (< (point) limit)
    (let ((end (line-end-position)))
      ;; A line inside a text is the keeper's own.
      (unless (nth 3 (save-excursion (syntax-ppss (line-beginning-position))))
        (let ((pieces (save-excursion (movement--pieces end))))
          (when pieces (movement--line pieces))))
      (goto-char end)
      (forward-line 1)
      (when (eobp) (goto-char (max limit (point))))))
  nil)

;; --- the mode

(defvar movement-font-lock-keywords '((movement--fontify))
  "One rule for all words: it goes through each line as the compiler does.")

(defun movement-indent-line ()
  "Indent the line as the one above it.
Called again, by a step less each time, and then as deep as it can stand."
  (interactive)
  (let* ((above (save-excursion
                  (beginning-of-line)
                  (skip-chars-backward " \t\n")
                  (current-indentation)))
         (now (current-indentation))
         (deepest (+ above movement-indent))
         (wanted (cond ((not (eq last-command this-command)) (if (or (= now 0) (> now deepest)) above now))
                       ((>= now movement-indent) (- now movement-indent))
                       (t deepest))))
    (if (<= (current-column) now) (indent-line-to wanted) (save-excursion (indent-line-to wanted)))))

;;;###autoload
(define-derived-mode movement-mode prog-mode "Movement"
  "Major mode for descriptions of tower clocks."
  (setq-local comment-start "# "
              comment-start-skip "#+[ \t]*"
              comment-end ""
              indent-tabs-mode nil
              tab-width movement-indent
              indent-line-function #'movement-indent-line
              syntax-propertize-function #'movement--propertize
              font-lock-multiline t
              font-lock-defaults '(movement-font-lock-keywords)))

;;;###autoload
(add-to-list 'auto-mode-alist '("\\.movement\\'" . movement-mode))

(defvar eglot-server-programs)
(with-eval-after-load 'eglot
  (add-to-list 'eglot-server-programs
               `(movement-mode . ,(lambda (&rest _) movement-command))))

(provide 'movement-mode)
;;; movement-mode.el ends here
